import { InvalidArgumentError, Option } from 'commander';
import { Fault } from '../src/base/fault.js';
import type { Paper } from '../src/sheet/run-sheet-style.js';
import type { CommandSpec } from './command.js';
import { exitStatus, type Io } from './io.js';
import { wholeNumber } from './option-values.js';
import { collect } from './options.js';
import { addPlanOptions, type PlanFlags, planFiles } from './plan-options.js';

interface SheetFlags extends PlanFlags {
  output: string[];
  paper: Paper;
  date?: string;
  labels?: true;
  character?: string;
  lots?: string;
  colour?: string;
  edge?: string;
  copies?: number;
}

const formats = ['.html', '.pdf'] as const;

function formatOf(path: string): (typeof formats)[number] {
  const format = formats.find((ending) => path.toLowerCase().endsWith(ending));
  if (format !== undefined) return format;
  throw new Fault({
    code: 'output-format',
    kind: 'usage',
    file: path,
    message: 'The ending does not say what to write.',
    remedy: `End it in ${formats.join(' or ')}.`,
  });
}

function day(text: string): string {
  const date = new Date(`${text}T00:00:00Z`);
  if (/^\d{4}-\d{2}-\d{2}$/.test(text) && !Number.isNaN(date.getTime()) && date.toISOString().startsWith(text))
    return text;
  throw new InvalidArgumentError('Write it like 2026-11-25.');
}

/**
 * The day that the sheet shows. SOURCE_DATE_EPOCH (reproducible-builds.org) stands in for the clock, so that the same
 * input can give the same bytes on another day.
 */
function today(io: Io): string {
  const epoch = io.env.SOURCE_DATE_EPOCH;
  if (epoch !== undefined && /^\d{1,12}$/.test(epoch)) return new Date(Number(epoch) * 1000).toISOString().slice(0, 10);
  const now = new Date();
  const two = (value: number): string => String(value).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

async function sheetHtml(
  files: readonly string[],
  flags: SheetFlags,
  io: Io,
): Promise<{ html: string; stop: boolean }> {
  const { document: mix, surveys } = await planFiles(files, flags, io);
  const { date = today(io), paper } = flags;
  const stop = mix.findings.some(({ severity }) => severity === 'stop');
  if (flags.labels) {
    const { labels } = await import('../src/sheet/labels.js');
    const { character, lots, colour, edge: edgeDissolvesIn, copies, way } = flags;
    return {
      html: labels({ mix, character, castDate: date, lots, colour, way, edgeDissolvesIn, copies, paper }),
      stop,
    };
  }
  const { runSheet } = await import('../src/sheet/run-sheet.js');
  return { html: runSheet({ surveys, mix, date, paper }), stop };
}

async function sheet(files: readonly string[], flags: SheetFlags, io: Io): Promise<number> {
  const wanted = flags.output.map((path) => ({ path, format: formatOf(path) }));
  const { html, stop } = await sheetHtml(files, flags, io);
  const outputs: { path: string; data: string | Uint8Array }[] = [];
  for (const { path, format } of wanted) {
    const data = format === '.html' ? html : await (await import('./print-pdf.js')).printPdf(html, io);
    outputs.push({ path, data });
  }
  await (await import('./write-output.js')).writeOutputs(
    outputs,
    files.filter((file) => file !== '-'),
    io.cwd,
  );
  return stop ? exitStatus.limit : exitStatus.done;
}

export const sheetCommand: CommandSpec = {
  declare(program, io, finish) {
    const command = program
      .command('sheet')
      .summary('print the run sheet, or labels for the boxes')
      .description('Writes the run sheet that hangs beside the scale, or labels for the boxes, as HTML or PDF.')
      .argument('[files...]', "meshes or saved surveys; '-' reads a survey from standard input")
      .requiredOption('-o, --output <file>', 'what to write: .html or .pdf; may be given again', collect)
      .addOption(new Option('--paper <size>', 'paper it is made for').choices(['a4', 'letter', 'any']).default('a4'))
      .option('--date <day>', 'the day it shows, like 2026-11-25 (today)', day)
      .option('--labels', 'labels for the boxes in place of the run sheet')
      .option('--character <code>', "labels: the character's code; never the performer's name")
      .option('--lots <lots>', 'labels: lots of the material')
      .option('--colour <colour>', 'labels: the colour')
      .option('--edge <solvent>', 'labels: what dissolves the edge')
      .option('--copies <count>', 'labels: how many of each (1)', wholeNumber(1, 100));
    addPlanOptions(command)
      .addHelpText(
        'after',
        `
Examples:
  plateful sheet plate.stl -o run.html --fills 3
  plateful sheet plate.survey.json -o run.pdf --paper letter
  plateful sheet plate.stl --labels --character SG-04 -o labels.pdf`,
      )
      .action(async (files: string[], flags: SheetFlags) => finish(await sheet(files, flags, io)));
  },
};
