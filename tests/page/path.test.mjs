// From a dropped file to the run sheet in the hand, as a shop does it.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { after, before, test } from 'node:test';
import { ask, kCrest, openBrowser, openJob, openPage, plannedJob, Server, untilState } from './bench.mjs';

let server;
let browser;
before(async () => {
  server = await new Server().start();
  browser = await openBrowser();
});
after(async () => {
  await browser?.close();
  assert.equal(await server?.stop(), 0, 'the server ends in order');
});

async function dropFile(page, file, name) {
  const data = await page.evaluateHandle(
    ([text, name]) => {
      const data = new DataTransfer();
      data.items.add(new File([text], name, { type: 'image/svg+xml' }));
      return data;
    },
    [readFileSync(file, 'utf8'), name],
  );
  await page.dispatchEvent('body', 'dragover', { dataTransfer: data });
  await page.dispatchEvent('body', 'drop', { dataTransfer: data });
}

const idOf = (page) => new URL(page.url()).pathname.split('/').at(-1);
const blank = (page, name) => page.getByRole('button', { name: new RegExp(`^${name}: `) });

test('artwork dropped on the start page becomes a run sheet', async () => {
  const page = await openPage(browser, server);
  await dropFile(page, kCrest, 'keld-harbour-crest.svg');
  await page.waitForURL(/\/job\//);
  await page.locator('.is-shown .stamp').waitFor();
  await assert.doesNotReject(blank(page, 'Artwork').getByText('keld-harbour-crest.svg').waitFor());
  await page.getByRole('button', { name: 'Save files' }).click();
  const coming = page.waitForEvent('download');
  await page.getByRole('link', { name: /^sheet\.pdf/ }).click();
  const file = await (await coming).path();
  const info = execFileSync('pdfinfo', [file], { encoding: 'utf8' });
  assert.match(info, /Pages:\s+3/);
  const names = ['plan.json', 'verdict.json', 'stitches.csv', 'stitches.gcode', 'chart.svg', 'preview.png'];
  for (const name of names) {
    await page.getByRole('link', { name: new RegExp(`^${name.replace('.', '\\.')}`) }).waitFor();
  }
  assert.deepEqual(page.complaints, []);
});

test('the ticket changes cap, needle and size, by keyboard alone', async () => {
  const page = await openPage(browser, server);
  const id = await plannedJob(page, kCrest, ['artwork.height_mm=40', 'bench.speed_spm=900']);
  await openJob(page, server, id);
  await blank(page, 'Height').focus();
  await page.keyboard.press('Enter');
  await page.getByRole('dialog', { name: 'Height' }).waitFor();
  await page.keyboard.press('ArrowUp');
  await page.keyboard.press('ArrowUp');
  await page.keyboard.press('Enter');
  let job = await untilState(page, id, (state, job) => state === 'done' && job.shown_revision > 1);
  assert.equal(job.settings.artwork.height_mm, 42);
  assert.equal(job.undo, 'Height: 42 mm');

  await blank(page, 'Cap').focus();
  await page.keyboard.press('Enter');
  await page.getByRole('listbox', { name: 'Cap' }).waitFor();
  await page.keyboard.press('Home');
  await page.keyboard.press('Enter');
  job = await untilState(page, id, (state, job) => state === 'done' && job.settings.cap.name !== 'six-panel-structured-mid');
  assert.equal(job.settings.cap.name, 'five-panel-foam-backed');

  await blank(page, 'Needle').focus();
  await page.keyboard.press('Enter');
  const needles = page.getByRole('listbox', { name: 'Needle' });
  await needles.waitFor();
  await page.keyboard.press('Escape');
  await needles.waitFor({ state: 'detached' });
  const focused = await page.evaluate(() => document.activeElement?.getAttribute('aria-label'));
  assert.match(focused, /^Needle: /, 'Esc gives the focus back and changes nothing');
  await page.keyboard.press('Enter');
  await page.getByRole('listbox', { name: 'Needle' }).getByText('75 sharp').click();
  job = await untilState(page, id, (state, job) => state === 'done' && job.settings.bench.needle === '75:sharp');
  await page.getByRole('button', { name: /^Undo: Needle: 75 sharp/ }).click();
  job = await untilState(page, id, (state, job) => state === 'done' && job.settings.bench.needle === '80:sharp');
  assert.equal(job.redo, 'Needle: 75 sharp');
  assert.deepEqual(page.complaints, []);
});

test('what is out of range is said at the blank, and nothing is asked', async () => {
  const page = await openPage(browser, server);
  const id = await plannedJob(page, kCrest, ['artwork.height_mm=40']);
  await openJob(page, server, id);
  await blank(page, 'Speed').click();
  await page.getByRole('textbox', { name: 'Speed', exact: true }).fill('9000');
  await page.keyboard.press('Enter');
  await page.getByRole('alert').getByText('9000 is more than 1500. Did you mean 900?').waitFor();
  assert.equal((await ask(page, 'GET', `/api/jobs/${id}`)).revision, 1);
});

test('a typed gap reshapes the contours at once, then the job', async () => {
  const page = await openPage(browser, server);
  const id = await plannedJob(page, kCrest, ['artwork.height_mm=40']);
  await openJob(page, server, id);
  const drawn = () => [...document.querySelectorAll('.a-chart svg')].map((svg) => svg.innerHTML).join('');
  const old = await page.evaluate(drawn);
  // The change is held back: what is drawn until it is let go comes from the digits alone.
  let letGo;
  const held = new Promise((resolve) => {
    letGo = resolve;
  });
  await page.route(`**/api/jobs/${id}`, async (route) => {
    if (route.request().method() === 'PATCH') await held;
    await route.continue();
  });
  await page.getByLabel(/^Gap at A/).fill('3.4');
  await page.waitForFunction(
    (old) => [...document.querySelectorAll('.a-chart svg')].map((svg) => svg.innerHTML).join('') !== old,
    old,
  );
  await page.locator('.is-stale').getByText(/Out of date: gap at A changed/).waitFor();
  assert.equal((await ask(page, 'GET', `/api/jobs/${id}`)).revision, 1, 'nothing is kept yet');
  letGo();
  const job = await untilState(page, id, (state, job) => state === 'done' && (job.settings.gap?.length ?? 0) === 1);
  assert.equal(job.settings.gap[0].gap_mm, 3.4);
  await page.locator('.is-shown').waitFor();
  await page.getByLabel(/^Gap at C/).fill('22');
  await page.getByText('Gap at C is 22 mm. Did you mean 2.2?').waitFor();
  assert.deepEqual(page.complaints, []);
});

test('a switch makes its change, keeps its row, and is taken back', async () => {
  const page = await openPage(browser, server);
  const id = await plannedJob(page, kCrest, ['artwork.height_mm=46', 'bench.speed_spm=900', 'order.caps=48']);
  await openJob(page, server, id);
  const rows = page.locator('.changes li');
  const names = await rows.locator('.what').allTextContents();
  const at = names.indexOf('Clip both edges of the front');
  assert.ok(at >= 0, `clips are among ${names}`);
  const answered = page.waitForResponse((answer) => answer.request().method() === 'PATCH');
  await rows.nth(at).getByRole('switch').click();
  const { quick } = await (await answered).json();
  assert.ok(quick.breaks_per_100_caps.mean > 0, 'the number comes with the answer');
  let job = await untilState(page, id, (state, job) => state === 'done' && job.settings.bench.clips);
  await page.locator('.is-shown').waitFor();
  const clips = page.getByRole('switch', { name: 'Clip both edges of the front' });
  assert.equal(await clips.getAttribute('aria-checked'), 'true');
  const mean = job.verdict.breaks_per_100_caps.mean;
  assert.ok(Math.abs(mean - quick.breaks_per_100_caps.mean) < 0.02 * mean, 'the quick number is the full one');
  await page.keyboard.press('Control+z');
  job = await untilState(page, id, (state, job) => state === 'done' && !job.settings.bench.clips);
  await page.locator('.is-shown').waitFor();
  await page.locator('[role=switch][aria-checked=true]').waitFor({ state: 'detached' });
  assert.deepEqual(page.complaints, []);
});

test('sewing along moves the needle, and the strip takes keys', async () => {
  const page = await openPage(browser, server);
  const id = await plannedJob(page, kCrest, ['artwork.height_mm=30']);
  await openJob(page, server, id);
  const strip = page.locator('.a-strip').getByRole('slider').first();
  const now = async () => Number(await strip.getAttribute('aria-valuenow'));
  await strip.focus();
  await page.keyboard.press('Home');
  const start = await now();
  await page.keyboard.press('ArrowRight');
  assert.ok((await now()) > start, 'an arrow goes on by a stitch');
  await page.getByRole('button', { name: 'Sew along' }).click();
  await page.waitForFunction((from) => Number(document.querySelector('.a-strip [role=slider]')?.getAttribute('aria-valuenow')) > from + 10, await now());
  assert.deepEqual(page.complaints, []);
});
