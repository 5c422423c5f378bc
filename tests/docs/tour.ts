/**
 * The output shown in the documents is real: each block that begins with `$ node dist/cli/main.js …` holds what that
 * command prints. `npx tsx tests/docs/tour.ts` writes them anew.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { run } from '../../cli/run.js';

const root = resolve(import.meta.dirname, '../..');
const prompt = '$ node dist/cli/main.js ';

/** The documents with such blocks. */
export const toured = ['README.md'];

/** What a command prints at 80 columns without colour, standard error after standard output. */
async function printed(command: string): Promise<string> {
  let [out, err] = ['', ''];
  await run(command.split(' '), {
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
    outIsTerminal: false,
    errIsTerminal: false,
    columns: 80,
    env: {},
    cwd: root,
    readInput: async () => '',
  });
  return out + err;
}

/** A document as it stands, and as it is with every block's command run again. */
export async function retold(file: string): Promise<{ stands: string; told: string }> {
  const stands = readFileSync(`${root}/${file}`, 'utf8');
  let told = '';
  for (const part of stands.split(/^(```console\n[\s\S]*?^```$)/m)) {
    const command = part.startsWith(`\`\`\`console\n${prompt}`) ? part.split('\n')[1]!.slice(prompt.length) : undefined;
    told += command === undefined ? part : `\`\`\`console\n${prompt}${command}\n${await printed(command)}\`\`\``;
  }
  return { stands, told };
}

if (process.argv[1] === import.meta.filename) {
  for (const file of toured) writeFileSync(`${root}/${file}`, (await retold(file)).told);
}
