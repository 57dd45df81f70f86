// Other ways to use the page: inches, the keyboard alone, a system that asks for less motion, paper.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { after, before, test } from 'node:test';
import { ask, kCrest, openBrowser, openJob, openPage, plannedJob, Server, untilState } from './bench.mjs';

let server;
let browser;
let id;
before(async () => {
  server = await new Server().start();
  browser = await openBrowser();
  const page = await openPage(browser, server);
  id = await plannedJob(page, kCrest, ['artwork.height_mm=46', 'bench.speed_spm=900', 'order.caps=48']);
  await page.context().close();
});
after(async () => {
  await browser?.close();
  await server?.stop();
});

const focused = (page) => page.evaluate(() => document.activeElement?.getAttribute('aria-label') ?? document.activeElement?.textContent?.trim());

/** Tab until the focus stands on what is named. */
async function tabTo(page, name, most = 80) {
  for (let k = 0; k < most; k++) {
    await page.keyboard.press('Tab');
    if (name.test((await focused(page)) ?? '')) return;
  }
  assert.fail(`no Tab leads to ${name}`);
}

test('inches first: shown everywhere, kept, and typed as fractions', async () => {
  const page = await openPage(browser, server);
  await openJob(page, server, id);
  await page.getByRole('radio', { name: 'inches first' }).click();
  // 46 mm / 25.4 mm an inch (exact by definition, NIST SP 811) = 1.811 in.
  await page.getByRole('button', { name: 'Height: 1.81 in' }).waitFor();
  await page.locator('.sentence').getByText('46 mm').waitFor();
  await page.reload();
  await page.getByRole('button', { name: 'Height: 1.81 in' }).click();
  await page.getByRole('textbox', { name: 'Height', exact: true }).fill('1 3/4');
  await page.keyboard.press('Enter');
  const job = await untilState(page, id, (state, job) => state === 'done' && job.shown_revision > 1);
  assert.equal(job.settings.artwork.height_mm, 44.45);
  await page.getByRole('button', { name: 'Height: 1.75 in', exact: true }).waitFor();
  await ask(page, 'POST', `/api/jobs/${id}/undo`);
  await untilState(page, id, (state, job) => state === 'done' && job.settings.artwork.height_mm === 46);
  await page.goto(new URL(`/floor/${id}`, server.address).href);
  await page.locator('.floor-threads').getByText(/ yd$/).first().waitFor();
  assert.deepEqual(page.complaints, []);
  await page.context().close();
});

test('from the start page to the floor page by keyboard alone', async () => {
  const page = await openPage(browser, server);
  await page.locator('.jobs img').first().waitFor();
  await tabTo(page, /^Keld harbour crest$/);
  await page.keyboard.press('Enter');
  await page.locator('.is-shown .stamp').first().waitFor();
  await tabTo(page, /^Speed: /);
  await page.keyboard.press('Enter');
  await page.getByRole('dialog', { name: 'Speed' }).waitFor();
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('Escape');
  assert.match(await focused(page), /^Speed: 900/, 'Esc leaves it as it was');
  await tabTo(page, /^Crown chart of /);
  await page.keyboard.press('ArrowRight');
  await page.locator('.chart-reading b').getByText(/^Stitch 1\b/).waitFor();
  await tabTo(page, /^Run strip/);
  await page.keyboard.press('Home');
  await page.keyboard.press('PageUp');
  const strip = page.locator('.a-strip').getByRole('slider');
  assert.ok(Number(await strip.getAttribute('aria-valuenow')) > 1, 'a Page key goes to the next block');
  await tabTo(page, /^Clip both edges of the front$/);
  await page.keyboard.press('Space');
  await untilState(page, id, (state, job) => state === 'done' && job.settings.bench.clips);
  await page.keyboard.press('Control+z');
  await untilState(page, id, (state, job) => state === 'done' && !job.settings.bench.clips);
  await page.keyboard.press('Home');
  await tabTo(page, /^Floor page$/, 200);
  await page.keyboard.press('Enter');
  await page.waitForURL(/\/floor\//);
  await tabTo(page, /^Cap is good$/);
  assert.deepEqual(page.complaints, []);
  await page.context().close();
});

test('less motion: nothing slides, and sewing along goes by steps', async () => {
  const page = await openPage(browser, server, undefined, { reducedMotion: 'reduce' });
  await openJob(page, server, id);
  const moving = () =>
    page.evaluate(() =>
      [...document.querySelectorAll('*')]
        .flatMap((each) => [getComputedStyle(each), getComputedStyle(each, '::after')])
        .filter((style) => /[1-9]/.test(style.transitionDuration) || /[1-9]/.test(style.animationDuration)).length,
    );
  assert.equal(await moving(), 0);
  // The slider's value is told for each step: frames would give tens of them in two seconds.
  const steps = page.evaluate(
    () =>
      new Promise((resolve) => {
        let n = 0;
        const watch = new MutationObserver(() => n++);
        watch.observe(document.querySelector('.a-strip [role=slider]'), { attributeFilter: ['aria-valuenow'] });
        setTimeout(() => {
          watch.disconnect();
          resolve(n);
        }, 2200);
      }),
  );
  await page.getByRole('button', { name: 'Sew along' }).click();
  const n = await steps;
  assert.ok(n >= 1 && n <= 6, `${n} steps`);
  await page.emulateMedia({ reducedMotion: 'no-preference' });
  assert.ok((await moving()) > 0, 'else they slide');
  await page.context().close();
});

test('on paper the drawings are drawn at the width of the paper', async () => {
  const page = await openPage(browser, server);
  await openJob(page, server, id);
  const pdf = await page.pdf({ format: 'A4', printBackground: true });
  const file = path.join(process.env.BUCKRAM_SHOTS ?? server.folder, 'print.pdf');
  writeFileSync(file, pdf);
  const text = execFileSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' });
  for (const words of ['keld-harbour-crest.svg', 'needle breaks per 100', 'the foot cannot reach', 'Harbour navy', 'TAKE CARE'])
    assert.ok(text.toLowerCase().includes(words.toLowerCase()), `${words} is on paper`);
  assert.doesNotMatch(text, /Show as table|Sew along|Duplicate/);
  const pages = Number(/Pages:\s+(\d+)/.exec(execFileSync('pdfinfo', [file], { encoding: 'utf8' }))[1]);
  assert.ok(pages <= 3, `${pages} pages`);
  // Afterwards the screen is as before.
  assert.equal(await page.locator('.top nav').isVisible(), true);
  await page.context().close();
});
