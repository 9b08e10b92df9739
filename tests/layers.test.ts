import { execFile } from 'node:child_process';
import { cp, mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';

/** The layer table of DEVELOPERS.md, shown to the linter one import at a time. */

const root = resolve(import.meta.dirname, '..');

const FOLDERS = [
  'shared/dsp',
  'shared/driveline',
  'shared/diagnosis',
  'shared/bundle',
  'shared/contract',
  'shared/speed',
  'shared/units',
  'shared/messages',
  'shared/visit-work',
  'shared/road-card',
  'shared/decision',
  'native',
  'db',
  'seeds',
  'electron/live',
  'electron/shell',
  'renderer',
  'tests',
  'build',
];
const SHARED = FOLDERS.filter((folder) => folder.startsWith('shared/'));
const ELECTRON = ['electron', 'electron/main', 'electron/renderer'];
const NODE = ['node:fs'];
const REACT = ['react', 'react/jsx-runtime', 'react-dom', 'react-dom/client'];

interface Row {
  /** Of our own folders; the folder itself goes without saying. */
  readonly may: readonly string[];
  /** Modules from elsewhere that the folder must not import. */
  readonly not: readonly string[];
}
const TABLE: Record<string, Row> = {
  'shared/dsp': { may: [], not: [...ELECTRON, ...NODE, ...REACT] },
  'shared/driveline': { may: ['shared/dsp'], not: [...ELECTRON, ...NODE, ...REACT] },
  'shared/diagnosis': {
    may: ['shared/dsp', 'shared/driveline', 'shared/messages'],
    not: [...ELECTRON, ...NODE, ...REACT],
  },
  'shared/bundle': { may: ['shared/driveline', 'shared/messages'], not: [...ELECTRON, ...NODE, ...REACT] },
  'shared/contract': {
    may: [
      'shared/dsp',
      'shared/driveline',
      'shared/diagnosis',
      'shared/bundle',
      'shared/units',
      'shared/messages',
      'shared/visit-work',
      'shared/road-card',
      'shared/decision',
    ],
    not: [...ELECTRON, ...NODE, ...REACT],
  },
  'shared/speed': { may: [], not: [...ELECTRON, ...NODE, ...REACT] },
  'shared/units': { may: [], not: [...ELECTRON, ...NODE, ...REACT] },
  'shared/messages': { may: ['shared/units'], not: [...ELECTRON, ...NODE, ...REACT] },
  'shared/visit-work': {
    may: ['shared/driveline', 'shared/diagnosis', 'shared/bundle', 'shared/units', 'shared/messages'],
    not: [...ELECTRON, ...NODE, ...REACT],
  },
  'shared/road-card': {
    may: [
      'shared/dsp',
      'shared/driveline',
      'shared/bundle',
      'shared/units',
      'shared/messages',
      'shared/visit-work',
    ],
    not: [...ELECTRON, ...NODE, ...REACT],
  },
  'shared/decision': {
    may: ['shared/driveline', 'shared/diagnosis', 'shared/units', 'shared/messages', 'shared/visit-work'],
    not: [...ELECTRON, ...NODE, ...REACT],
  },
  'shared/vehicle-view': { may: ['shared/driveline'], not: [...ELECTRON, ...NODE, ...REACT] },
  'shared/report': {
    may: [
      'shared/dsp',
      'shared/driveline',
      'shared/diagnosis',
      'shared/units',
      'shared/messages',
      'shared/visit-work',
      'shared/decision',
      'shared/vehicle-view',
    ],
    not: [...ELECTRON, ...NODE, ...REACT],
  },
  native: { may: SHARED, not: ELECTRON },
  db: { may: SHARED, not: ELECTRON },
  seeds: { may: [...SHARED, 'db'], not: ELECTRON },
  'electron/live': { may: [...SHARED, 'native', 'db', 'seeds', 'electron/shell'], not: ELECTRON },
  'electron/shell': { may: [...SHARED, 'native', 'db', 'seeds', 'electron/live'], not: [] },
  renderer: { may: SHARED, not: [...ELECTRON, ...NODE] },
};

interface Sample {
  readonly path: string;
  readonly folder: string;
  readonly imported: string;
  readonly allowed: boolean;
}

const samples: Sample[] = Object.entries(TABLE).flatMap(([folder, { may, not }]) => {
  const up = '../'.repeat(folder.split('/').length);
  const ours = FOLDERS.map((target) => ({
    imported: `${up}${target}/thing.ts`,
    allowed: target === folder || may.includes(target),
  }));
  const others = [
    ...not.map((imported) => ({ imported, allowed: false })),
    { imported: 'zod', allowed: true },
    ...(folder === 'electron/shell' ? [{ imported: 'electron', allowed: true }] : []),
  ];
  return [...ours, ...others].map((sample, i) => ({ ...sample, folder, path: `${folder}/sample-${i}.ts` }));
});

/** Paths of the samples that the linter refused for an import. */
let refused: Set<string>;

beforeAll(async () => {
  const tree = await mkdtemp(join(tmpdir(), 'rumblepath-layers-'));
  for (const settings of ['.biome.json', '.gitignore']) await cp(join(root, settings), join(tree, settings));
  for (const { path, imported } of samples) {
    await mkdir(dirname(join(tree, path)), { recursive: true });
    await writeFile(join(tree, path), `import { thing } from '${imported}';\n\nthing();\n`);
  }
  const report = await new Promise<string>((done) => {
    const wish = ['lint', '--reporter=json', '--max-diagnostics=none'];
    const options = { cwd: tree, maxBuffer: 1 << 28 };
    execFile(join(root, 'node_modules/.bin/biome'), wish, options, (_error, stdout) => done(stdout));
  });
  const { diagnostics } = JSON.parse(report) as {
    diagnostics: { category: string; severity: string; location: { path: string | { file: string } } }[];
  };
  refused = new Set(
    diagnostics
      .filter(({ category, severity }) => category.includes('noRestrictedImports') && severity === 'error')
      .map(({ location: { path } }) => (typeof path === 'string' ? path : path.file)),
  );
  await rm(tree, { recursive: true });
}, 60_000);

describe.each(Object.keys(TABLE))('%s', (folder) => {
  const own = samples.filter((sample) => sample.folder === folder);

  it('may import what the table allows', () => {
    const wrong = own.filter(({ allowed, path }) => allowed && refused.has(path));
    expect(wrong.map(({ imported }) => imported)).toEqual([]);
  });

  it('is refused everything else', () => {
    const wrong = own.filter(({ allowed, path }) => !allowed && !refused.has(path));
    expect(wrong.map(({ imported }) => imported)).toEqual([]);
  });
});

it('is held by the test command', async () => {
  const { scripts } = JSON.parse(await readFile(join(root, 'package.json'), 'utf8'));
  expect(scripts.test).toContain('npm run lint');
});
