import { Option } from 'commander';
import { Fault } from '../src/base/fault.js';
import type { PlateForm, SurveyDocument } from '../src/base/survey-document.js';
import type { LengthUnit } from '../src/base/units.js';
import type { Limit } from '../src/sheet/limits.js';
import type { CommandSpec } from './command.js';
import { declareEdgeOptions, type EdgeFlags, edgeSettings } from './edge-options.js';
import { exitStatus, type Io } from './io.js';
import { limitsOf } from './limits-option.js';
import { amount } from './option-values.js';
import { collect, type Role, roleOf, unitOption } from './options.js';
import type { SurveyOptions } from './survey-file.js';
import type { SurveyOutputs } from './survey-outputs.js';

interface Flags extends SurveyOutputs, EdgeFlags {
  shelf?: string;
  material?: string;
  json?: true;
  jsonLines?: true;
  mustPass?: string;
  unit?: LengthUnit;
  form?: PlateForm;
  band?: number;
  role?: Record<string, Role>;
  scrape?: 'flat' | 'bowed';
  split?: true;
  quick?: true;
  names?: string;
}

async function surveyOptions(flags: Flags, io: Io): Promise<SurveyOptions> {
  return {
    ...(flags.names && { names: await (await import('./names-files.js')).readNamesFile(flags.names, io) }),
    ...(flags.unit && { unit: flags.unit }),
    ...(flags.form && { form: flags.form }),
    ...(flags.band && { bandMm: flags.band }),
    ...(flags.role && { roles: flags.role }),
    ...(flags.scrape && { scrape: flags.scrape }),
    ...(flags.split && { split: true }),
    ...(flags.quick && { quick: true }),
    edges: { ...(await materialFigures(flags, io)), ...edgeSettings(flags) },
  };
}

/** Tear strength and elongation of a material that is named. */
async function materialFigures({ material, shelf }: Flags, io: Io) {
  if (material === undefined && shelf === undefined) return {};
  const { recipeOf, shelfOf } = await import('./material-options.js');
  const { sheetFigures } = await import('../src/fill/edges-of.js');
  return sheetFigures(await recipeOf({ ...(material && { material }) }, await shelfOf(shelf, io)));
}

async function survey(files: readonly string[], flags: Flags, io: Io): Promise<number> {
  if (flags.jsonLines) {
    const { surveyLines } = await import('./survey-lines.js');
    return surveyLines(files, await surveyOptions(flags, io), io);
  }
  const { checkOutputs, makeOutputs } = await import('./survey-outputs.js');
  checkOutputs(flags);
  const [file] = files;
  if (file === undefined || files.length > 1) {
    throw new Fault({
      code: 'one-file',
      kind: 'usage',
      message: `The table shows one plate; ${files.length} files are named.`,
      remedy: 'Name one, or add --json-lines for one document a line.',
    });
  }
  const limits = flags.mustPass === undefined ? undefined : await limitsOf(flags.mustPass, io);
  const { surveyFile } = await import('./survey-file.js');
  const surveying = surveyFile(file, await surveyOptions(flags, io), io);
  // What writes the answer is loaded while the thread works on it.
  const [result, { jsonText, roundSurvey }, { surveyText }, { outPaint, outWidth }] = await Promise.all([
    surveying,
    import('../src/sheet/json.js'),
    import('../src/sheet/survey-text.js'),
    import('./text-screen.js'),
  ]);
  const document = roundSurvey(result.document);
  const outputs = await makeOutputs(result, document, flags);
  io.signal?.throwIfAborted();
  const replaced =
    flags.writeNames && (await (await import('./names-files.js')).replacedNames(flags.writeNames, document, io));
  const inputs = flags.names === undefined ? [file] : [file, flags.names];
  if (outputs.length > 0) await (await import('./write-output.js')).writeOutputs(outputs, inputs, io.cwd);
  if (replaced) io.err(replaced);
  await io.out(flags.json ? jsonText(document) : surveyText(document, { width: outWidth(io), paint: outPaint(io) }));
  return limits === undefined ? exitStatus.done : holdLimits(document, limits, io);
}

/** A short list of what is broken goes to standard error, where it stands below the table and beside no JSON. */
async function holdLimits(document: SurveyDocument, limits: readonly Limit[], io: Io): Promise<number> {
  const { brokenLimits, brokenLines } = await import('../src/sheet/limits.js');
  const broken = brokenLines(brokenLimits(document, limits));
  if (broken.length === 0) return exitStatus.done;
  io.err('\nLimits that are broken:\n');
  for (const line of broken) io.err(`  ${line}\n`);
  return exitStatus.limit;
}

export const surveyCommand: CommandSpec = {
  declare(program, io, finish) {
    const command = program
      .command('survey')
      .summary('find the cavities of a plate and measure them')
      .description('Finds the cavities of a plate and measures them: volume, rim, flash band, thickness, edges.')
      .argument('<files...>', 'mesh of a mould, of its scan, or of the sculpt: STL, OBJ, PLY or 3MF')
      .option('--json', 'print the survey document (JSON) instead of the table')
      .addOption(
        new Option('--json-lines', 'many files: one document a line; a file that fails stops only itself').conflicts([
          'json',
          'output',
          'picture',
          'thickness',
          'edgeProfile',
          'writeNames',
        ]),
      )
      .option(
        '-o, --output <file>',
        'also write FILE: .json, .csv, .txt; .ply, .glb walls by thickness; .stl, .3mf fill bodies; .svg rims 1:1; may be given again',
        collect,
      )
      .option('--picture <file>', 'write the plan, coloured by thickness, as .svg (at 1:1) or .png')
      .option('--thickness <file>', 'write each cavity at 1:1, coloured by thickness: FILE-1.svg, FILE-2.svg …')
      .option('--edge-profile <file>', 'write the thickness of the edge round each rim as .svg')
      .addOption(unitOption())
      .addOption(
        new Option('--form <form>', 'what the mesh shows, where it is taken for something else').choices([
          'mould',
          'scan',
          'sculpt',
          'pieces',
        ]),
      )
      .option('--band <mm>', 'width of the flash band round each rim (default: 3)', amount(0.1, 100, 'mm'))
      .option('--role <n=role>', 'what a hollow is: piece, key, gutter or mark (4=key)', roleOf)
      .addOption(
        new Option('--scrape <surface>', 'what the scraper follows, where it is taken wrongly').choices([
          'flat',
          'bowed',
        ]),
      )
      .option('--split', 'part pits that a channel joins at its narrowest place')
      .option('--names <file>', 'names of the cavities: one a line, or CSV with name, x, y')
      .option('--write-names <file>', 'write the list of names, to edit and to give to --names')
      .option('--must-pass <limits>', 'status 3 if a limit is broken: a file, or "least-mm >= 0.8, gap-mm >= 5"')
      .option('--quick', 'volumes, openings, rims and depth only: no thickness, no edges');
    declareEdgeOptions(command)
      .addHelpText(
        'after',
        `
Examples:
  plateful survey plate.stl                  the table
  plateful survey plate.stl --unit in        a file drawn in inches
  plateful survey plate.stl -o plate.json    keep the survey for "mix"`,
      )
      .action(async (files: string[], flags: Flags) => finish(await survey(files, flags, io)));
  },
};
