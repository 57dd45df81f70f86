// The tablet beside the machine: ticks, a needle break, and a server that is away meanwhile.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { accessFaults, ask, kCrest, openBrowser, openPage, picture, plannedJob, scrollsSideways, Server } from './bench.mjs';

let server;
let browser;
let page;
let id;
before(async () => {
  server = await new Server().start();
  browser = await openBrowser();
  page = await openPage(browser, server, { width: 1024, height: 1366 });
  id = await plannedJob(page, kCrest, ['artwork.height_mm=46', 'bench.speed_spm=900', 'order.caps=48']);
  await page.goto(new URL(`/floor/${id}`, server.address).href);
  await page.getByRole('heading', { name: 'On the machine' }).waitFor();
});
after(async () => {
  await browser?.close();
  await server?.stop();
});

const floorNow = () => ask(page, 'GET', `/api/jobs/${id}/floor`);
const step = (name) => page.getByRole('checkbox', { name: new RegExp(`^${name}`) });

async function until(isThere) {
  const end = Date.now() + 60_000;
  while (!isThere(await floorNow())) {
    assert.ok(Date.now() < end, 'the server has not heard of it');
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}

async function tapTheMiddle() {
  await page.locator('.floor-machine .chart-plot').click();
  await page.getByText(/^Block \d+, needle \d+\./).waitFor();
}

test('set-up steps stay ticked for this order', async () => {
  await step('Plate').check();
  await step('Needle').check();
  await until(({ ticks }) => Object.keys(ticks).length === 2);
  await page.reload();
  await step('Plate').waitFor();
  assert.equal(await step('Plate').isChecked(), true);
  assert.equal(await step('Backing').isChecked(), false);
  await step('Needle').uncheck();
  await until(({ ticks }) => Object.keys(ticks).length === 1);
});

test('the cap that is on is counted, and taken back', async () => {
  await page.locator('.floor-lede').getByText('Sew one cap first.').waitFor();
  await page.getByRole('button', { name: 'Cap is good' }).click();
  await page.getByText('Cap 2.', { exact: true }).waitFor();
  assert.equal(await scrollsSideways(page), false);
  assert.deepEqual(await accessFaults(page), []);
  await picture(page, 'floor-sewing');
  await page.getByRole('button', { name: 'Take back' }).click();
  await page.locator('.floor-lede').getByText('Sew one cap first.').waitFor();
});

test('a needle break is logged at the stitch that was tapped, six stitches and 12 mm back, and taken back', async () => {
  await page.getByRole('button', { name: 'It stopped' }).click();
  await tapTheMiddle();
  const said = await page.locator('.floor-sentence').innerText();
  const [, stitch] = /stitch ([\d,]+)/.exec(said);
  await page.getByRole('checkbox', { name: 'every piece found' }).check();
  await page.getByRole('textbox', { name: /What was found/ }).fill('burr on the plate');
  assert.deepEqual(await accessFaults(page), []);
  await picture(page, 'floor-stopped');
  await page.getByRole('button', { name: /^Needle broke/ }).click();
  await until(({ breaks }) => breaks.length === 1);
  const [logged] = (await floorNow()).breaks;
  assert.equal(logged.stitch, Number(stitch.replace(',', '')), 'page and log name the same stitch');
  assert.equal(logged.note, 'burr on the plate');
  assert.equal(logged.cap, 1);
  await page.locator('.floor-log').getByRole('button', { name: 'Take back' }).click();
  await until(({ breaks }) => breaks.length === 0);
});

test('a new plan is told, and what is of the old one is no longer ticked', async () => {
  await step('Plate').check();
  await step('Load').check();
  const ticked = async () => Object.keys((await floorNow()).ticks);
  await until(({ ticks }) => Object.keys(ticks).some((key) => key.startsWith('Load')));
  await ask(page, 'PATCH', `/api/jobs/${id}`, { set: ['stitch.row_spacing_mm=0.42'] });
  await page.getByRole('alert').getByText('The plan has changed.').waitFor({ timeout: 120_000 });
  assert.equal(await step('Load').isChecked(), false);
  assert.equal(await step('Plate').isChecked(), true, 'the same plate as before');
  await page.getByRole('button', { name: 'Seen' }).click();
  await page.getByRole('alert').waitFor({ state: 'detached' });
  assert.ok((await ticked()).length > 0);
  await step('Plate').uncheck();
});

test('what is told while the server is away is kept, and sent when it is back', async () => {
  await server.kill();
  await step('Backing').check();
  await page.getByRole('alert').getByText('Buckram does not answer.').waitFor();
  await tapTheMiddle();
  await page.getByRole('button', { name: /^Needle broke/ }).click();
  await page.getByText(/kept here until Buckram answers/).waitFor();
  assert.equal(await step('Backing').isChecked(), true);
  await server.start();
  await page.evaluate(() => dispatchEvent(new Event('online')));
  await page.getByText(/kept here until Buckram answers/).waitFor({ state: 'detached' });
  await until(({ breaks, ticks }) => breaks.length === 1 && Object.keys(ticks).length === 2);
  await page.getByRole('alert').waitFor({ state: 'detached' });
});
