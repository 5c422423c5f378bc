import type { CommandSpec } from './command.js';
import { exitStatus, type Io } from './io.js';
import { wholeNumber } from './option-values.js';

interface PageFlags {
  port?: number;
  open: boolean;
  output?: string;
}

async function page(flags: PageFlags, io: Io): Promise<number> {
  const { pageFolder, servePage } = await import('./page-server.js');
  const folder = await pageFolder();
  if (flags.output !== undefined) {
    const [{ readFile }, { writeOutputs }] = await Promise.all([
      import('node:fs/promises'),
      import('./write-output.js'),
    ]);
    await writeOutputs([{ path: flags.output, data: await readFile(`${folder}/plateful.html`) }], [], io.cwd);
    return exitStatus.done;
  }
  const server = await servePage(folder, flags.port ?? 0);
  await io.out(`${server.address}\n`);
  io.err('The page is served to this machine alone, until Ctrl-C.\n');
  if (flags.open) (await import('./open-browser.js')).openBrowser(server.address);
  await new Promise<void>((resolve) => {
    if (io.signal?.aborted) return resolve();
    io.signal?.addEventListener('abort', () => resolve(), { once: true });
  });
  await server.close();
  return exitStatus.done;
}

export const pageCommand: CommandSpec = {
  declare(program, io, finish) {
    program
      .command('page')
      .summary('look at a plate in the browser')
      .description('Serves the page on this machine and opens the browser. Files stay in the browser; none is sent.')
      .option('--port <number>', 'port on 127.0.0.1; a free one where none is given', wholeNumber(1, 65_535))
      .option('--no-open', 'only print the address')
      .option('-o, --output <file>', 'write the page as one HTML file that needs no server, instead of serving it')
      .action(async (flags: PageFlags) => finish(await page(flags, io)));
  },
};
