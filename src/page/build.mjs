/**
 * Builds the page twice from the same sources: a folder to be served (dist/page), and one file that works from a double
 * click, without a server (dist/page/plateful.html). No module scripts and no fetches: a page opened from disk has neither.
 *   node src/page/build.mjs [out folder]
 */
import { createHash } from 'node:crypto';
import { mkdir, readFile, writeFile } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { build } from 'esbuild';
import { noticesOf } from '../../tools/notices.mjs';

const here = import.meta.dirname;
const out = resolve(process.argv[2] ?? join(here, '../../dist/page'));

const shared = {
  bundle: true,
  minify: true,
  write: false,
  format: 'iife',
  platform: 'browser',
  target: ['chrome109', 'firefox115', 'safari16.4'],
  charset: 'utf8',
  // The licences stand in one place instead.
  legalComments: 'none',
  metafile: true,
  logLevel: 'warning',
  loader: { '.wasm': 'binary', '.svg': 'text' },
  // The solid library asks for node's own modules only where it runs in node.
  external: ['node:*'],
  define: { 'import.meta.url': '"file:///page/"' },
};

const metafiles = [];

async function bundle(entry) {
  const { outputFiles, metafile } = await build({ ...shared, entryPoints: [join(here, entry)] });
  metafiles.push(metafile);
  return outputFiles[0].text;
}

const sha256 = (text) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`;

/** A script inside a page must hold nothing that begins or ends one for an HTML parser. */
function inScript(text) {
  const bad = /<!--|<\/?script/i.exec(text);
  if (bad !== null) throw new Error(`the page's script holds ${bad[0]} and cannot stand inside a page`);
  return text;
}

/**
 * @param scripts sources that may run; wasm is compiled in the worker, which inherits this policy
 * Styles are set inline by the sheet's preview alone; they can load nothing, since nothing may be loaded.
 */
const policy = (scripts, worker) =>
  [
    "default-src 'none'",
    `script-src ${scripts} 'wasm-unsafe-eval'`,
    "style-src 'self' 'unsafe-inline'",
    `worker-src ${worker}`,
    "img-src 'self' data: blob:",
    "frame-src 'self' blob:",
    "connect-src 'none'",
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ');

const [template, style, page, worker] = await Promise.all([
  readFile(join(here, 'page.html'), 'utf8'),
  bundle('style/page.css'),
  bundle('main.ts'),
  bundle('survey-worker.ts'),
]);

const notices = await noticesOf(metafiles);

const fillTemplate = (values) => template.replace(/\{\{(\w+)\}\}/g, (_, name) => values[name]);

const folder = fillTemplate({
  policy: policy("'self'", "'self' blob:"),
  style: '<link rel="stylesheet" href="page.css">',
  script: '<script src="page.js"></script>',
});

const script = inScript(page);
const single = fillTemplate({
  policy: policy(sha256(script), 'blob:'),
  style: `<style>${style}</style>`,
  script: `<script type="application/json" id="survey-worker">${JSON.stringify(worker).replaceAll('<', '\\u003c')}</script>\n<script>${script}</script>`,
});

// Nothing may end the comment early.
const comment = `<!--\n${notices.replace(/-(?=-)/g, '- ')}-->\n`;

await mkdir(out, { recursive: true });
await Promise.all(
  Object.entries({
    'index.html': folder,
    'page.css': style,
    'page.js': page,
    'survey-worker.js': worker,
    'plateful.html': single + comment,
    'NOTICES.txt': notices,
  }).map(([name, text]) => writeFile(join(out, name), text)),
);
