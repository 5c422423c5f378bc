import { type Command, Option } from 'commander';
import type { EdgeSettings } from '../src/measure/edge-settings.js';
import { amount } from './option-values.js';

export interface EdgeFlags {
  way?: 'straight' | 'encapsulated';
  tear?: number;
  pull?: number;
  safety?: number;
  feather?: number;
  rimStep?: number;
  elongation?: number;
  tilt?: number;
  margin?: number;
}

/** The numbers that edges are judged by; what is not given is assumed, and a finding says so. */
export function declareEdgeOptions(command: Command): Command {
  return command
    .addOption(
      new Option('--way <way>', 'way of casting, for the judgement of edges').choices(['straight', 'encapsulated']),
    )
    .option('--shelf <file>', 'your own materials (see: plateful shelf init)')
    .option('--material <name>', 'takes tear strength and elongation from a recipe or silicone of the shelf')
    .option('--tear <N/mm>', 'tear strength of the cured mix, as softened (data sheet)', amount(0.05, 100, 'N/mm'))
    .option('--pull <N>', 'pull that an edge must stand', amount(0.01, 100, 'N'))
    .option('--safety <factor>', 'safety against tearing', amount(0.5, 20, ''))
    .option('--feather <mm>', 'how wide an edge may taper', amount(0.1, 50, 'mm'))
    .option('--rim-step <mm>', 'how thick a rim may be before it shows', amount(0.01, 5, 'mm'))
    .option('--elongation <pct>', 'elongation at break of the cured mix (data sheet)', amount(10, 3000, 'per cent'))
    .option(
      '--tilt <deg>',
      'how far the plate may be tilted for the first coat (default: 5; 0: not)',
      amount(0, 5, 'degrees'),
    )
    .option('--margin <mm>', 'land that a barrier needs round a piece (default: 5)', amount(0.5, 100, 'mm'));
}

export function edgeSettings(flags: EdgeFlags): EdgeSettings {
  return {
    ...(flags.way !== undefined && { way: flags.way }),
    ...(flags.tear !== undefined && { tearNPerMm: flags.tear }),
    ...(flags.pull !== undefined && { pullN: flags.pull }),
    ...(flags.safety !== undefined && { safety: flags.safety }),
    ...(flags.feather !== undefined && { featherMm: flags.feather }),
    ...(flags.rimStep !== undefined && { rimStepMm: flags.rimStep }),
    ...(flags.elongation !== undefined && { elongationPct: flags.elongation }),
    ...(flags.tilt !== undefined && { tiltDeg: flags.tilt }),
    ...(flags.margin !== undefined && { marginMm: flags.margin }),
  };
}
