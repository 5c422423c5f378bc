/**
 * npx tsx tests/bench/page.ts [--triangles N]: how the page bears a large mould. Longest task of the main thread while it
 * is surveyed; time of a frame while the picture turns, as a ratio to the same surfaces drawn by three alone.
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { build } from 'esbuild';
import { servePage } from '../../cli/page-server.js';
import type { Shapes } from '../../src/page/picture/shapes.js';
import { buildPage, startBrowser, surveyIn } from '../page/browser.js';
import { fineDemo, mainThreadTasks } from '../page/main-thread.js';

declare global {
  interface Window {
    seen?: Shapes;
    bare?: ReturnType<NonNullable<Window['bareScene']>>;
  }
}

const at = process.argv.indexOf('--triangles');
const triangles = at < 0 ? 1_000_000 : Number(process.argv[at + 1]);
const rounds = 5;
const frames = 6;

const [browser, folder] = await Promise.all([startBrowser(), buildPage()]);
const file = join(folder, 'fine.stl');
writeFileSync(file, fineDemo(triangles));
const { outputFiles } = await build({
  entryPoints: [join(import.meta.dirname, 'bare-scene.ts')],
  bundle: true,
  write: false,
  format: 'iife',
});
const server = await servePage(folder, 0);
const context = await browser.newContext({ viewport: { width: 1440, height: 1000 }, bypassCSP: true });
const page = await context.newPage();
// Keeps what the worker hands over, so that the bare scene has the same surfaces.
await page.addInitScript(() => {
  const Own = window.Worker;
  window.Worker = class extends Own {
    constructor(address: string | URL, options?: WorkerOptions) {
      super(address, options);
      this.addEventListener('message', ({ data }) => {
        if (data.kind === 'done') window.seen = data.shapes;
      });
    }
  };
});
await page.goto(server.address);
const start = Date.now();
const tasks = await mainThreadTasks(browser, page, folder, () => surveyIn(page, file, 600_000));
console.log(`survey and picture: ${((Date.now() - start) / 1000).toFixed(0)} s`);
const longest = tasks.slice(0, 3).map((ms) => ms.toFixed(0));
console.log(`longest tasks of the main thread, processor time: ${longest.join(', ')} ms`);

await page.addScriptTag({ content: outputFiles[0]!.text });
const counts = await page.evaluate(() => {
  window.bare = window.bareScene!(window.seen!, document.querySelector<HTMLCanvasElement>('.stage canvas')!);
  return [window.seen!.plate, ...window.seen!.bodies].map((surface) => surface.triangles.length / 3);
});
const own: number[] = [];
const bare: number[] = [];
for (let i = 0; i < rounds; i++) {
  bare.push(
    await page.evaluate((count) => {
      window.bare!.hidden = false;
      return window.bare!.turn(count);
    }, frames),
  );
  own.push(
    await page.evaluate(async (count) => {
      window.bare!.hidden = true;
      const canvas = document.querySelector<HTMLCanvasElement>('.stage canvas')!;
      const from = performance.now();
      for (let k = 0; k < count; k++) {
        canvas.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowLeft' }));
        await new Promise(requestAnimationFrame);
      }
      const gl = canvas.getContext('webgl2')!;
      gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, new Uint8Array(4));
      return (performance.now() - from) / count;
    }, frames),
  );
}
// The least of the rounds: other work on the machine only ever adds.
const [mine, theirs] = [Math.min(...own), Math.min(...bare)];
console.log(`${counts[0]} triangles of the plate, ${counts.slice(1).reduce((a, b) => a + b, 0)} of the pieces`);
console.log(
  `a frame takes ${mine.toFixed(0)} ms; by three alone ${theirs.toFixed(0)} ms: ${(mine / theirs).toFixed(2)} times`,
);
await server.close();
await browser.close();
