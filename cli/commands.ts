import type { CommandSpec } from './command.js';

/** Where each command is declared, in the order the help shows them: read only when it is wanted. */
const loaders: Readonly<Record<string, () => Promise<CommandSpec>>> = {
  survey: async () => (await import('./survey.js')).surveyCommand,
  mix: async () => (await import('./mix.js')).mixCommand,
  sheet: async () => (await import('./sheet.js')).sheetCommand,
  plan: async () => (await import('./plan.js')).planCommand,
  'top-up': async () => (await import('./top-up.js')).topUpCommand,
  weigh: async () => (await import('./weigh.js')).weighCommand,
  rescue: async () => (await import('./rescue.js')).rescueCommand,
  log: async () => (await import('./log.js')).logCommand,
  shelf: async () => (await import('./shelf.js')).shelfCommand,
  page: async () => (await import('./page.js')).pageCommand,
};

/** The command that a word names; all of them where it names none, since help and advice speak of all. */
export function commandsFor(word: string | undefined): Promise<CommandSpec[]> {
  const own = word !== undefined && Object.hasOwn(loaders, word) ? [loaders[word]!] : Object.values(loaders);
  return Promise.all(own.map((load) => load()));
}
