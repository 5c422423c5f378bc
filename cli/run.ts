import { readFileSync } from 'node:fs';
import { Command, CommanderError } from 'commander';
import { Fault } from '../src/base/fault.js';
import { plainText } from '../src/base/plain-text.js';
import { commandsFor } from './commands.js';
import { exitStatus, type Io } from './io.js';

/** The version in package.json, which stands beside `cli` in the sources and one folder up from `dist`. */
function version(): string {
  for (const up of ['..', '../..']) {
    try {
      const { name, version: found } = JSON.parse(readFileSync(`${import.meta.dirname}/${up}/package.json`, 'utf8'));
      if (name === 'plateful') return found;
    } catch {}
  }
  return 'unknown';
}

/** Commander's message as one line of ours: what is wrong, what was perhaps meant, where help is. */
function usageLine(text: string, argv: readonly string[]): string {
  const [, what = '', hint] = /^(?:error: )?(.*?)(?:\n\((Did you mean .*)\))?\s*$/s.exec(text) ?? [];
  const command = argv[0] !== undefined && /^[a-z-]+$/.test(argv[0]) ? argv[0] : undefined;
  const unknownCommand = what.startsWith('unknown command');
  const isFile = unknownCommand && /\.(stl|obj|ply|3mf|json)'$/i.test(what);
  const help = `plateful ${command && !unknownCommand ? `${command} ` : ''}--help`;
  const advice = isFile ? `Did you mean plateful survey ${argv[0]}?` : (hint ?? `See: ${help}`);
  return `plateful: ${plainText(`${what.replace(/([^.?!])$/, '$1.')} ${advice}`)}\n`;
}

function internalLine(error: unknown, io: Io): string {
  const what = plainText(error instanceof Error ? error.message : String(error));
  const details = io.env.PLATEFUL_DEBUG === '1' && error instanceof Error ? `\n${error.stack}` : '';
  return (
    `plateful ${version()}: this is a fault in plateful, not in your file or your typing (${what}). Nothing was ` +
    'written. Please report it with the command and the file; PLATEFUL_DEBUG=1 before the command adds details. ' +
    `[internal]${details}\n`
  );
}

const exitHelp = `
Exit status: 0 done; 1 wrong usage; 2 the input cannot be used; 3 a limit is
broken or a finding says stop.`;

/**
 * The whole command line: arguments in, exit status out.
 * @param argv the arguments after the program's name
 */
export async function run(argv: readonly string[], io: Io): Promise<number> {
  let status: number = exitStatus.done;
  const program = new Command('plateful')
    .description('Reads the mesh of a flat-plate mould, measures its cavities and plans the silicone fill in grams.')
    .version(version(), '-V, --version', 'print the version')
    .helpOption('-h, --help', 'print this help')
    .addHelpText('after', exitHelp)
    .exitOverride()
    .showSuggestionAfterError(true)
    .configureOutput({
      writeOut: (text) => void io.out(text),
      writeErr: (text) => io.err(text),
      outputError: (text, write) => write(usageLine(text, argv)),
      getOutHelpWidth: () => Math.min(100, io.columns),
      getErrHelpWidth: () => Math.min(100, io.columns),
    });
  try {
    for (const command of await commandsFor(argv[0])) {
      command.declare(program, io, (value) => {
        status = value;
      });
    }
    await program.parseAsync([...argv], { from: 'user' });
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? exitStatus.done : exitStatus.usage;
    if (io.signal?.aborted) {
      io.err('plateful: stopped; nothing was written.\n');
      return exitStatus.cancelled;
    }
    if (error instanceof Fault) {
      io.err(`${plainText(error.toLine())}\n`);
      return error.kind === 'usage' ? exitStatus.usage : exitStatus.input;
    }
    io.err(internalLine(error, io));
    return exitStatus.internal;
  }
  return status;
}
