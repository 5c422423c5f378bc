import type { CommandSpec } from './command.js';
import { logCommand } from './log.js';
import { mixCommand } from './mix.js';
import { pageCommand } from './page.js';
import { planCommand } from './plan.js';
import { rescueCommand } from './rescue.js';
import { sheetCommand } from './sheet.js';
import { shelfCommand } from './shelf.js';
import { surveyCommand } from './survey.js';
import { topUpCommand } from './top-up.js';
import { weighCommand } from './weigh.js';

/** Every command, in the order the help shows them. */
export const commands: readonly CommandSpec[] = [
  surveyCommand,
  mixCommand,
  sheetCommand,
  planCommand,
  topUpCommand,
  weighCommand,
  rescueCommand,
  logCommand,
  shelfCommand,
  pageCommand,
];
