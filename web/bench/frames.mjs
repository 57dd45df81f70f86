// How long a frame of the drawings takes at 50,000 stitches, in Chromium without a graphics card:
// `node bench/frames.mjs [STITCHES]`. "drawn": from the move to its forced picture (getImageData,
// readPixels), so that what the browser would put off is counted; "page": between two frames of the
// whole page; "CPU": processor time a frame of all the browser's processes, which a busy machine does
// not stretch much.
import { chromium } from 'playwright-core';
import { createServer } from 'vite';

const stitches = Number(process.argv[2] ?? 50000);
const server = await createServer({ logLevel: 'error', server: { port: 0 } });
await server.listen();
const browser = await chromium.launch({
  executablePath: process.env.BUCKRAM_CHROMIUM ?? '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-quic', '--no-first-run', '--disable-background-networking'],
});

async function open(part, width, height) {
  const page = await browser.newPage({ viewport: { width, height } });
  page.on('pageerror', (error) => console.error(String(error)));
  const at = `${server.resolvedUrls.local[0]}bench/frames.html?n=${stitches}&part=${part}`;
  await page.goto(at);
  await page.waitForSelector('canvas');
  // The first picture is painted a few batches a frame; a modules' reload comes before it.
  await page.waitForTimeout(5000);
  return page;
}

const cdp = await browser.newBrowserCDPSession();
const cpuSeconds = async () =>
  (await cdp.send('SystemInfo.getProcessInfo')).processInfo.reduce((sum, p) => sum + p.cpuTime, 0);

async function run(page, kind, frames) {
  const before = await cpuSeconds();
  const result = await page.evaluate(inPage, { kind, frames });
  return { ...result, cpu: (1000 * ((await cpuSeconds()) - before)) / (frames + 12) };
}

const show = (name, { drawn, page, cpu }) => {
  const stat = (all) => {
    const sorted = [...all].sort((a, b) => a - b);
    const at = (q) => sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))].toFixed(0);
    return `median ${at(0.5).padStart(4)}  95 % ${at(0.95).padStart(4)}  worst ${at(1).padStart(4)}`;
  };
  console.log(
    `${name.padEnd(14)} drawn: ${stat(drawn)} ms   page: ${stat(page)} ms   CPU ${cpu.toFixed(0)} ms`,
  );
};

/** In the page: calls `step(k)` once a frame and times each. */
const inPage = async ({ kind, frames }) => {
  const plot = document.querySelector('.chart-plot, .cap-view');
  const canvas = plot.querySelector('canvas');
  const box = plot.getBoundingClientRect();
  const [cx, cy] = [box.left + box.width / 2, box.top + box.height / 2];
  const point = (type, x, y) =>
    plot.dispatchEvent(
      new PointerEvent(type, {
        pointerId: 1,
        isPrimary: true,
        button: 0,
        clientX: x,
        clientY: y,
        bubbles: true,
      }),
    );
  plot.setPointerCapture = () => {};
  plot.hasPointerCapture = () => true;
  const force = () => {
    const gl = kind.startsWith('cap') ? canvas.getContext('webgl2') : null;
    if (gl) gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, new Uint8Array(4));
    else canvas.getContext('2d').getImageData(0, 0, 1, 1);
  };
  const n = window.trial.view.entries.op.length;
  const wheel = (deltaY) =>
    plot.dispatchEvent(
      new WheelEvent('wheel', {
        deltaY,
        clientX: cx,
        clientY: cy,
        bubbles: true,
        cancelable: true,
      }),
    );
  const steps = {
    pan: (k) => point('pointermove', cx + 120 * Math.sin(k / 9), cy + 60 * Math.sin(k / 7)),
    zoom: (k) => wheel(k % 40 < 20 ? -60 : 60),
    scrub: (k) => window.trial.setCursor(Math.floor(((k * 0.013) % 1) * n)),
    back: (k) => window.trial.setCursor(Math.floor((1 - ((k * 0.017) % 1)) * (n - 1))),
    gap: (k) => window.trial.raise((k % 10) / 10),
    turn: (k) => point('pointermove', cx + 200 * Math.sin(k / 12), cy),
  };
  const step = steps[kind.replace('cap-', '')];
  if (kind === 'pan') {
    wheel(-300);
    await new Promise((r) => setTimeout(r, 2500));
  }
  if (kind === 'pan' || kind === 'cap-turn') point('pointerdown', cx, cy);
  if (kind.endsWith('scrub') || kind.endsWith('back')) window.trial.setIsPart(true);
  await new Promise((r) => setTimeout(r, 1500));
  const drawn = [];
  const page = [];
  let last = 0;
  for (let k = 0; k < frames; ++k) {
    const took = await new Promise((done) => {
      requestAnimationFrame((now) => {
        if (last) page.push(now - last);
        last = now;
        const t0 = performance.now();
        step(k);
        // The chart draws when its state has settled, the cap in the next frame.
        if (!kind.startsWith('cap')) {
          setTimeout(() => {
            force();
            done(performance.now() - t0);
          }, 0);
          return;
        }
        let begun = 0;
        requestAnimationFrame(() => {
          force();
          done(performance.now() - begun);
        });
        queueMicrotask(() => {
          begun = performance.now();
        });
      });
    });
    drawn.push(took);
  }
  if (kind === 'pan' || kind === 'cap-turn') point('pointerup', cx, cy);
  return { drawn, page };
};

console.log(`${stitches} stitches`);
const chart = await open('chart', 1094, 900);
for (const kind of ['pan', 'zoom', 'scrub', 'back', 'gap'])
  show(`chart, ${kind}`, await run(chart, kind, 100));
await chart.close();
const cap = await open('cap', 832, 560);
for (const kind of ['cap-turn', 'cap-scrub'])
  show(kind.replace('-', ', '), await run(cap, kind, 40));
await browser.close();
await server.close();
