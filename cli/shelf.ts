import { resolve } from 'node:path';
import type { Command } from 'commander';
import type { CommandSpec } from './command.js';
import { exitStatus, type Io } from './io.js';
import { shelfOf } from './material-options.js';
import { outWidth } from './text-screen.js';

/** `shelf init|check|list`: the file of one's own materials. */
export const shelfCommand: CommandSpec = {
  declare(program, io, finish) {
    const shelf = program
      .command('shelf')
      .summary('keep your own materials')
      .description('Keep a file of your own materials.');
    declareInit(shelf, io, finish);
    shelf
      .command('check')
      .description('Check a shelf: a fault is named with its line, its key and what to do.')
      .argument('[file]', 'its name', 'shelf.yaml')
      .action(async (file: string) => {
        const checked = (await shelfOf(file, io))!;
        const { silicones, additives, lacquers, recipes } = checked;
        const kinds = { silicone: silicones, additive: additives, lacquer: lacquers, recipe: recipes };
        const counts = Object.entries(kinds).map(
          ([what, list]) => `${list.length} ${what}${list.length === 1 ? '' : 's'}`,
        );
        await io.out(`The shelf can be used: ${counts.join(', ')}.\n`);
        finish(exitStatus.done);
      });
    shelf
      .command('list')
      .description('List the materials of a shelf; without one, the built-in ones.')
      .argument('[file]')
      .option('--json', 'print one JSON document')
      .action(async (file: string | undefined, flags: { json?: true }) => {
        const found = await shelfOf(file, io);
        if (flags.json) {
          const { jsonText } = await import('../src/sheet/json.js');
          const { genericSilicones } = await import('../src/fill/generic-silicones.js');
          await io.out(
            jsonText({ format: 'plateful.shelf', version: 1, ...(found ?? { silicones: genericSilicones }) }),
          );
        } else {
          const { shelfText } = await import('../src/sheet/shelf-text.js');
          await io.out(shelfText(found, { width: outWidth(io) }));
        }
        finish(exitStatus.done);
      });
  },
};

function declareInit(shelf: Command, io: Io, finish: (status: number) => void): void {
  shelf
    .command('init')
    .description('Write a commented shelf with invented figures, to be replaced by those of your data sheets.')
    .argument('[file]', 'its name', 'shelf.yaml')
    .action(async (file: string) => {
      const [{ shelfTemplate }, { writeOutputs }, { existsSync }] = await Promise.all([
        import('../src/fill/shelf/shelf-template.js'),
        import('./write-output.js'),
        import('node:fs'),
      ]);
      if (existsSync(resolve(io.cwd, file))) {
        const { Fault } = await import('../src/base/fault.js');
        const message = 'There is a file of this name already.';
        throw new Fault({ code: 'file-exists', kind: 'usage', file, message, remedy: 'Choose another name.' });
      }
      await writeOutputs([{ path: file, data: shelfTemplate }], [], io.cwd);
      await io.out(`Wrote ${file}. Put in your own figures, then: plateful shelf check ${file}\n`);
      finish(exitStatus.done);
    });
}
