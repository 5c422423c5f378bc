import { access, readFile } from 'node:fs/promises';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { fileURLToPath } from 'node:url';
import { Fault } from '../src/base/fault.js';

/** The built page: beside this command once it is built, under dist where it runs from its sources. */
export async function pageFolder(): Promise<string> {
  for (const place of ['../page', '../dist/page']) {
    const folder = fileURLToPath(new URL(place, import.meta.url));
    const found = await access(`${folder}/index.html`).then(
      () => true,
      () => false,
    );
    if (found) return folder;
  }
  throw new Fault({
    code: 'page-not-built',
    message: 'The page was not built with this copy of plateful.',
    remedy: 'Run npm run build in its folder.',
  });
}

const types: Record<string, string> = {
  'index.html': 'text/html; charset=utf-8',
  'page.css': 'text/css; charset=utf-8',
  'page.js': 'text/javascript; charset=utf-8',
  'survey-worker.js': 'text/javascript; charset=utf-8',
};

/** A page of another origin could reach us under a name that it points to this machine: only our own names are served. */
function ownHost(host: string | undefined): boolean {
  return /^(127\.0\.0\.1|localhost|\[::1\])(:\d+)?$/.test(host ?? '');
}

export interface PageServer {
  /** `http://127.0.0.1:PORT/` */
  readonly address: string;
  close(): Promise<void>;
}

/**
 * Serves the page's few files, read once, to this machine alone.
 * @param port 0: any free one
 * @throws Fault `port-taken`
 */
export async function servePage(folder: string, port: number): Promise<PageServer> {
  const files = new Map<string, Buffer>();
  for (const name of Object.keys(types)) files.set(name, await readFile(`${folder}/${name}`));
  const answer = (request: IncomingMessage, response: ServerResponse): void => {
    const name =
      (request.url ?? '/').split('?')[0] === '/' ? 'index.html' : (request.url ?? '').slice(1).split('?')[0]!;
    const file = files.get(name);
    const allowed = ownHost(request.headers.host) && (request.method === 'GET' || request.method === 'HEAD');
    if (!allowed || file === undefined) {
      response.writeHead(allowed ? 404 : 403, { 'content-type': 'text/plain' }).end(allowed ? 'not here\n' : 'no\n');
      return;
    }
    response.writeHead(200, {
      'content-type': types[name],
      'content-length': file.length,
      'cache-control': 'no-store',
      'x-content-type-options': 'nosniff',
      'referrer-policy': 'no-referrer',
      // The rest of the policy stands in the page itself, which is also opened from disk.
      'content-security-policy': "frame-ancestors 'none'",
      // With these two the page may share memory between its workers.
      'cross-origin-opener-policy': 'same-origin',
      'cross-origin-embedder-policy': 'require-corp',
    });
    response.end(request.method === 'HEAD' ? undefined : file);
  };
  const server = createServer(answer);
  await new Promise<void>((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) => {
      reject(
        new Fault({
          code: 'port-taken',
          kind: 'usage',
          message: `Port ${port} cannot be used (${error.code}).`,
          remedy: 'Leave --port out, and a free one is taken.',
        }),
      );
    });
    server.listen(port, '127.0.0.1', resolve);
  });
  return {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}/`,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}
