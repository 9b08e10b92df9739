import type { Page } from 'playwright-core';

/** What a technician does and reads on the screens, for the tests that walk through the running program. */

/** Waits for the screen of that title. */
export const screen = (page: Page, title: string | RegExp) =>
  page.getByRole('heading', { level: 1, name: title });

/** From the list of vehicles: finds one by typing, starts a visit, and stands before the set-up. Keys only. */
export async function startVisit(page: Page, search: string, complaint: string): Promise<void> {
  await screen(page, 'Vehicles').waitFor();
  await page.keyboard.type(search);
  await page.getByRole('status').filter({ hasText: '1 ' }).waitFor({ state: 'attached' });
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('Enter');
  await screen(page, /^(?!Vehicles)/).waitFor();
  await page.getByRole('button', { name: 'Start a visit' }).press('Enter');
  await screen(page, 'Complaint and vehicle').waitFor();
  await page.keyboard.type(complaint);
  await page.getByRole('button', { name: /^Save and go on/ }).press('Enter');
  await screen(page, 'Set up').waitFor();
}

/** Connects the source that is chosen in a visit's set-up, and goes on to the live view. */
export async function connectVisit(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Connect' }).press('Enter');
  await page.getByRole('button', { name: 'Live view' }).press('Enter', { timeout: 30_000 });
  await screen(page, /Live/).waitFor({ state: 'attached', timeout: 20_000 });
}

const rows = (page: Page) =>
  page.getByRole('region', { name: 'Channels', exact: true }).getByRole('listitem');

/** The number beside every channel's bar. */
export async function levels(page: Page): Promise<number[]> {
  const texts = await rows(page).locator('[class*="_number_"]').allInnerTexts();
  return texts.map((text) => Number(text.replace('−', '-').replace('–', 'NaN')));
}

/** Numbers of the channels marked as heard. */
export async function heard(page: Page): Promise<number[]> {
  const pressed = await rows(page).getByRole('button', { pressed: true }).allInnerTexts();
  return pressed.map((text) => Number.parseInt(text, 10));
}

/** The words of the live view on what is being recorded. */
export const recordingState = async (page: Page): Promise<string> =>
  (await page.locator('header').getByRole('status').first().textContent()) ?? '';
