import { protocol, type Session } from 'electron';
import { type Screens, SECURITY_HEADERS } from '../host/screens.ts';

/** The window's own protocol: it serves the built screens and nothing else, so that no page has `file:` rights. */

const SCHEME = 'rumblepath';
export const PAGE = `${SCHEME}://app/`;

/** Schemes that a page of ours may load; everything else is a remote content that has no business here. */
const OWN_SCHEMES = new Set([`${SCHEME}:`, 'blob:', 'data:', 'devtools:']);

/** To be called before Electron is ready. */
export function registerScheme(): void {
  protocol.registerSchemesAsPrivileged([
    { scheme: SCHEME, privileges: { standard: true, secure: true, supportFetchAPI: true } },
  ]);
}

/** Answers for the screens, cancels every request for anything else, and refuses every permission. */
export function lockDown(session: Session, screens: Screens): void {
  session.protocol.handle(SCHEME, ({ url, method }) => {
    const { host, pathname } = new URL(url);
    const file = host === 'app' && method === 'GET' ? screens(pathname) : undefined;
    if (file === undefined) return new Response(null, { status: 404, headers: SECURITY_HEADERS });
    return new Response(file.body, { headers: { ...SECURITY_HEADERS, 'Content-Type': file.type } });
  });
  session.webRequest.onBeforeRequest(({ url }, decide) => {
    decide({ cancel: !OWN_SCHEMES.has(new URL(url).protocol) });
  });
  session.setPermissionRequestHandler((_contents, _permission, decide) => decide(false));
  session.setPermissionCheckHandler(() => false);
  session.setDevicePermissionHandler(() => false);
}

/** Whether a frame's address is one of our pages. */
export const isOwnPage = (url: string | undefined): boolean => url?.startsWith(PAGE) ?? false;
