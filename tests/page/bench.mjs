// What every test of the page stands on: the real program serving the built page from a folder of its
// own, a browser, and a page that remembers every complaint of its console.
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

export const kRoot = path.resolve(path.dirname(fileURLToPath(import.meta.url)), '../..');
const need = createRequire(path.join(kRoot, 'web/package.json'));
const { chromium } = need('playwright-core');
const kAxe = readFileSync(need.resolve('axe-core/axe.min.js'), 'utf8');
const kProgram = process.env.BUCKRAM_PROGRAM ?? path.join(kRoot, 'build/release/bin/buckram');
const kBrowser = process.env.CHROMIUM ?? '/usr/bin/chromium';
export const kCrest = path.join(kRoot, 'examples/keld-harbour-crest.svg');
export const kBadge = path.join(kRoot, 'examples/skerry-light-badge.svg');
/** A plan of the example takes about a second; a loaded machine gets as long as it wants. */
export const kPlan_ms = 120_000;

function addressOf(child) {
  return new Promise((resolve, reject) => {
    let said = '';
    child.stdout.on('data', (data) => {
      said += data;
      const found = /http:\/\/\S+/.exec(said);
      if (found) resolve(new URL(found[0]));
    });
    child.stderr.on('data', (data) => {
      said += data;
    });
    child.on('error', reject);
    child.on('exit', (code) => reject(new Error(`the server ended with ${code}: ${said}`)));
  });
}

/** A server on its own folder; `kill` ends it as a power cut would, `start` begins again on the same. */
export class Server {
  folder = mkdtempSync(path.join(tmpdir(), 'buckram-page-'));
  port = 0;

  async start() {
    const options = ['--folder', path.join(this.folder, 'jobs'), '--port', String(this.port)];
    options.push('--token-file', path.join(this.folder, 'token'));
    this.child = spawn(kProgram, ['serve', ...options], {
      env: { BUCKRAM_PAGE: path.join(kRoot, 'web/dist'), ...process.env },
    });
    this.address = await addressOf(this.child);
    this.port = Number(this.address.port);
    return this;
  }

  async end(signal) {
    const over = new Promise((resolve) => this.child.on('exit', resolve));
    this.child.kill(signal);
    return over;
  }

  kill() {
    return this.end('SIGKILL');
  }

  async stop() {
    const code = await this.end('SIGTERM');
    rmSync(this.folder, { recursive: true, force: true });
    return code;
  }
}

export function openBrowser() {
  const args = ['--no-sandbox', '--disable-quic', '--no-first-run', '--disable-sync'];
  args.push('--disable-background-networking', '--disable-component-update');
  return chromium.launch({ executablePath: kBrowser, headless: true, args });
}

/** A page let in by the printed address. `page.complaints` holds what its console objected to. */
export async function openPage(browser, server, size = { width: 1920, height: 1200 }, more = {}) {
  const context = await browser.newContext({ viewport: size, acceptDownloads: true, ...more });
  const page = await context.newPage();
  page.setDefaultTimeout(kPlan_ms);
  page.complaints = [];
  page.on('console', (message) => {
    const isOurs = !message.text().includes('GL Driver Message');
    if (isOurs && ['error', 'warning'].includes(message.type())) page.complaints.push(message.text());
  });
  page.on('pageerror', (error) => page.complaints.push(String(error)));
  await page.goto(server.address.href);
  await page.getByRole('heading', { name: /Drop a customer/ }).waitFor();
  return page;
}

/** Asks the API as the page does. */
export function ask(page, method, address, body) {
  return page.evaluate(
    async ([method, address, body]) => {
      const headers = method === 'GET' ? {} : { 'X-Buckram': '1', 'Content-Type': 'application/json' };
      const answer = await fetch(address, { method, headers, body: body === null ? undefined : JSON.stringify(body) });
      return answer.json();
    },
    [method, address, body ?? null],
  );
}

export async function keepArtwork(page, file) {
  const text = readFileSync(file, 'utf8');
  return page.evaluate(
    async ([text, name]) => {
      const answer = await fetch(`/api/artwork?name=${name}`, { method: 'POST', headers: { 'X-Buckram': '1' }, body: text });
      return (await answer.json()).artwork;
    },
    [text, path.basename(file)],
  );
}

/** A job that is planned; its id. */
export async function plannedJob(page, file, set) {
  const artwork = await keepArtwork(page, file);
  const { id } = await ask(page, 'POST', '/api/jobs', { artwork, set });
  await untilState(page, id, (state) => state !== 'planning');
  return id;
}

export async function untilState(page, id, isThere) {
  const end = Date.now() + kPlan_ms;
  while (Date.now() < end) {
    const job = await ask(page, 'GET', `/api/jobs/${id}`);
    if (isThere(job.state, job)) return job;
    await new Promise((resolve) => setTimeout(resolve, 150));
  }
  throw new Error(`job ${id} did not get there`);
}

export async function openJob(page, server, id) {
  await page.goto(new URL(`/job/${id}`, server.address).href);
  await page.locator('.is-shown .stamp').first().waitFor();
}

/** What axe finds against WCAG 2.2 A and AA and good practice; empty when all is well. */
export async function accessFaults(page) {
  await page.evaluate(kAxe);
  const found = await page.evaluate(() =>
    window.axe.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }),
  );
  return found.violations.map((each) => `${each.id}: ${each.nodes.map((node) => `${node.target} (${node.failureSummary})`).join(' | ')}`);
}

/** True where something sticks out sideways. */
export const scrollsSideways = (page) =>
  page.evaluate(() => document.documentElement.scrollWidth > document.documentElement.clientWidth);

/** Keeps a picture for eyes where BUCKRAM_SHOTS names a folder. */
export async function picture(page, name) {
  const folder = process.env.BUCKRAM_SHOTS;
  if (folder) await page.screenshot({ path: path.join(folder, `${name}.png`), fullPage: true });
}
