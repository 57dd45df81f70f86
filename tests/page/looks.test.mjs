// Every page and state at every width: nothing sticks out, nothing shuts anybody out (axe-core against
// WCAG 2.2 A and AA, contrast among it), nothing complains.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { accessFaults, ask, kBadge, kCrest, openBrowser, openJob, openPage, picture, plannedJob, scrollsSideways, Server } from './bench.mjs';

const kSizes = [
  { width: 360, height: 780 },
  { width: 390, height: 844 },
  { width: 1024, height: 1366 },
  { width: 1920, height: 1200 },
];
let server;
let browser;
let page;
const ids = {};

before(async () => {
  server = await new Server().start();
  browser = await openBrowser();
  page = await openPage(browser, server, kSizes[3], { reducedMotion: 'reduce' });
  const shop = ['bench.speed_spm=900', 'order.caps=48', 'order.customer="Keld Harbour Rowing"'];
  ids.crest = await plannedJob(page, kCrest, ['artwork.height_mm=46', ...shop]);
  ids.badge = await plannedJob(page, kBadge, ['artwork.height_mm=42', 'order.caps=24']);
  ids.refused = await plannedJob(page, kCrest, ['artwork.height_mm=90', ...shop]);
  ids.empty = (await ask(page, 'POST', '/api/jobs', { set: [] })).id;
});
after(async () => {
  await browser?.close();
  await server?.stop();
});

async function lookAt(name) {
  await picture(page, name);
  assert.equal(await scrollsSideways(page), false, `${name} scrolls sideways`);
  assert.deepEqual(await accessFaults(page), [], name);
}

async function goTo(path, there) {
  await page.goto(new URL(path, server.address).href);
  await page.locator(there).first().waitFor();
}

for (const size of kSizes) {
  test(`at ${size.width} px`, async () => {
    await page.setViewportSize(size);
    await goTo('/', '.jobs img');
    await lookAt(`start-${size.width}`);
    await openJob(page, server, ids.crest);
    await lookAt(`job-${size.width}`);
    await goTo(`/job/${ids.refused}`, '.is-refused .offers');
    await lookAt(`refused-${size.width}`);
    await goTo(`/job/${ids.empty}`, '.is-empty .artwork-sheet');
    await lookAt(`empty-${size.width}`);
    await goTo(`/compare/${ids.crest}/${ids.badge}`, '.differences');
    await lookAt(`compare-${size.width}`);
    await goTo(`/floor/${ids.crest}`, '.floor h1');
    await lookAt(`floor-${size.width}`);
    assert.deepEqual(page.complaints, []);
  });
}

test('open sheets, tables and inches', async () => {
  await page.setViewportSize(kSizes[3]);
  await openJob(page, server, ids.crest);
  await page.getByRole('button', { name: /^Cap: / }).click();
  await lookAt('sheet-cap');
  await page.keyboard.press('Escape');
  await page.getByRole('button', { name: /^Artwork: / }).click();
  await lookAt('sheet-artwork');
  await page.keyboard.press('Escape');
  await page.getByRole('button', { name: 'more of the ticket' }).click();
  await page.getByRole('radio', { name: 'inches first' }).click();
  await page.getByRole('button', { name: 'Height: 1.81 in' }).waitFor();
  await page.locator('.a-chart summary').click();
  await page.getByRole('region', { name: 'Worst places and measured gaps' }).waitFor();
  await lookAt('more-inches');
  await page.getByRole('radio', { name: 'millimetres first' }).click();
});

test('stale, failed and unknown', async () => {
  await openJob(page, server, ids.crest);
  await page.getByLabel(/^Gap at A/).fill('2.');
  await page.locator('.is-stale .struck').waitFor();
  await lookAt('stale');
  await page.route('**/api/ground', (route) =>
    route.fulfill({ status: 422, json: { error: { code: 'bad_job', what: 'is 22, outside 0 to 15', where: 'gap 1: gap_mm', hint: 'Choose a value between them.' } } }),
  );
  await page.getByLabel(/^Gap at A/).fill('2.4');
  await page.getByText('is 22, outside 0 to 15').waitFor();
  await lookAt('fault');
  await page.unroute('**/api/ground');
  await goTo('/nowhere', 'h1');
  await page.getByRole('heading', { name: 'There is no such page.' }).waitFor();
  await lookAt('nowhere');
  await page.getByRole('link', { name: 'All jobs' }).click();
  await page.locator('.jobs img').first().waitFor();
});

test('paper: controls go, the ticket and the pictures stay', async () => {
  await openJob(page, server, ids.badge);
  await page.emulateMedia({ media: 'print' });
  await page.locator('.top nav').waitFor({ state: 'hidden' }); // the page hears of it in its turn
  await picture(page, 'print');
  assert.equal(await page.locator('.sentence').first().isVisible(), true);
  await page.emulateMedia({ media: 'screen' });
});
