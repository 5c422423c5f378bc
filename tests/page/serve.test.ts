import { mkdtemp, readdir, readFile, writeFile } from 'node:fs/promises';
import { request } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { expect, it } from 'vitest';
import { servePage } from '../../cli/page-server.js';
import { buildPage } from './browser.js';

/** A folder with the names of the page's files, and something else beside them. */
async function folder(): Promise<string> {
  const made = await mkdtemp(join(tmpdir(), 'plateful-page-'));
  for (const name of ['index.html', 'page.css', 'page.js', 'survey-worker.js', 'secret.txt']) {
    await writeFile(join(made, name), `this is ${name}`);
  }
  return made;
}

function get(
  address: string,
  path: string,
  headers: Record<string, string> = {},
): Promise<{ status: number; body: string }> {
  const { port } = new URL(address);
  return new Promise((resolve, reject) => {
    request({ host: '127.0.0.1', port, path, headers }, (response) => {
      let body = '';
      response.on('data', (chunk) => {
        body += chunk;
      });
      response.on('end', () => resolve({ status: response.statusCode ?? 0, body }));
    })
      .on('error', reject)
      .end();
  });
}

it('serves the files of the page, and nothing else, to this machine alone', async () => {
  const server = await servePage(await folder(), 0);
  try {
    expect(server.address).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/$/);
    expect(await get(server.address, '/')).toEqual({ status: 200, body: 'this is index.html' });
    expect(await get(server.address, '/page.js?x')).toEqual({ status: 200, body: 'this is page.js' });
    for (const path of ['/secret.txt', '/../../../etc/passwd', '/%2e%2e/secret.txt', '/page.js/..', '//']) {
      expect((await get(server.address, path)).status, path).toBe(404);
    }
    // Another origin may give its own name to this machine's address (DNS rebinding).
    expect((await get(server.address, '/', { host: 'elsewhere.example' })).status).toBe(403);
  } finally {
    await server.close();
  }
});

it('says so where the port is taken', async () => {
  const made = await folder();
  const first = await servePage(made, 0);
  try {
    await expect(servePage(made, Number(new URL(first.address).port))).rejects.toMatchObject({ code: 'port-taken' });
  } finally {
    await first.close();
  }
});

it('has no page that loads from elsewhere', async () => {
  const html = await readFile(new URL('../../src/page/page.html', import.meta.url), 'utf8');
  expect(html.replace("xmlns='http://www.w3.org/2000/svg'", '')).not.toMatch(/https?:/);
});

it('loads in under 1.5 MB, compressed as a server or an archive would', async () => {
  const built = await buildPage();
  const size = async (names: readonly string[]): Promise<number> => {
    const files = await Promise.all(names.map((name) => readFile(join(built, name))));
    return files.reduce((sum, bytes) => sum + gzipSync(bytes).length, 0);
  };
  const served = ['index.html', 'page.css', 'page.js', 'survey-worker.js'];
  expect((await readdir(built)).sort()).toEqual([...served, 'plateful.html', 'NOTICES.txt'].sort());
  expect(await size(served)).toBeLessThan(1_500_000);
  expect(await size(['plateful.html'])).toBeLessThan(1_500_000);
});

it('keeps the licences of the packages it is made of, in the folder and in the one file', async () => {
  const built = await buildPage();
  const [notices, single] = await Promise.all(
    ['NOTICES.txt', 'plateful.html'].map((name) => readFile(join(built, name), 'utf8')),
  );
  for (const name of ['manifold-3d', 'three', 'fflate']) {
    expect(notices).toContain(`== ${name} `);
    expect(single).toContain(`== ${name} `);
  }
  expect(notices).toContain('Permission is hereby granted');
  expect(notices).toContain('Apache License');
});
