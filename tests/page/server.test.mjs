// Planning that is stopped, overtaken, reloaded in the middle, and a server that is killed.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { ask, kBadge, kCrest, keepArtwork, openBrowser, openJob, openPage, plannedJob, Server, untilState } from './bench.mjs';

let server;
let browser;
before(async () => {
  server = await new Server().start();
  browser = await openBrowser();
});
after(async () => {
  await browser?.close();
  await server?.stop();
});

const size = (page) => page.getByRole('button', { name: /^Height: / });

async function askForHeight(page, mm) {
  await size(page).click();
  await page.getByRole('textbox', { name: 'Height', exact: true }).fill(String(mm));
  await page.keyboard.press('Enter');
}

test('stopping leaves the last plan, says so, and plans again when asked', async () => {
  const page = await openPage(browser, server);
  const id = await plannedJob(page, kCrest, ['artwork.height_mm=40']);
  await openJob(page, server, id);
  // Long enough to be stopped on any machine: many plans are tried.
  await page.getByRole('button', { name: /^Find the best/ }).click();
  await page.getByRole('button', { name: 'Stop' }).click();
  const job = await untilState(page, id, (state) => state !== 'planning');
  assert.equal(job.state, 'cancelled');
  await page.getByText('Out of date: planning was stopped.').waitFor();
  assert.equal((await ask(page, 'GET', `/api/jobs/${id}/view`)).revision, 1, 'the last plan stays');
  await page.getByRole('button', { name: 'Plan again' }).click();
  const done = await untilState(page, id, (state) => state === 'done');
  assert.equal(done.settings.artwork.height_mm, 40);
  assert.equal(done.shown_revision, done.revision);
});

test('two jobs are planned at once', async () => {
  const page = await openPage(browser, server);
  const [crest, badge] = [await keepArtwork(page, kCrest), await keepArtwork(page, kBadge)];
  const ids = await Promise.all(
    [crest, badge].map((artwork) => ask(page, 'POST', '/api/jobs', { artwork, set: ['artwork.height_mm=41'] })),
  );
  const states = await Promise.all(ids.map(({ id }) => ask(page, 'GET', `/api/jobs/${id}`)));
  for (const { state } of states) assert.ok(['planning', 'done'].includes(state), state);
  for (const { id } of ids) await untilState(page, id, (state) => state === 'done');
  await page.goto(server.address.origin);
  await page.locator('.jobs img').first().waitFor();
});

test('a reload in the middle finds what was asked', async () => {
  const page = await openPage(browser, server);
  const id = await plannedJob(page, kCrest, ['artwork.height_mm=40']);
  await openJob(page, server, id);
  const sent = page.waitForResponse((answer) => answer.request().method() === 'PATCH');
  await askForHeight(page, 44);
  await sent;
  await page.reload();
  await page.locator('.is-shown .stamp').waitFor();
  await size(page).getByText('44 mm').waitFor();
});

test('a killed server loses nothing, and the page finds it again', async () => {
  const page = await openPage(browser, server);
  const id = await plannedJob(page, kCrest, ['artwork.height_mm=40']);
  await openJob(page, server, id);
  const sent = page.waitForResponse((answer) => answer.request().method() === 'PATCH');
  await askForHeight(page, 43);
  await sent;
  await server.kill();
  await page.locator('.lost').waitFor();
  await server.start();
  await page.locator('.lost').waitFor({ state: 'detached' });
  const job = await untilState(page, id, (state) => state === 'done');
  assert.equal(job.settings.artwork.height_mm, 43);
  await page.locator('.is-shown .stamp').waitFor();
  await size(page).getByText('43 mm').waitFor();
});
