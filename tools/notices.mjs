/** The licences of the packages that went into a bundle: they ask to be kept with every copy. */
import { readdir, readFile } from 'node:fs/promises';
import { join, resolve } from 'node:path';

/**
 * @param metafiles what esbuild tells of its bundles, with paths from the folder it runs in
 * @returns a plain text: each package with its version and its licence
 */
export async function noticesOf(metafiles) {
  const folders = new Set();
  for (const { inputs } of metafiles) {
    for (const path of Object.keys(inputs)) {
      const found = /^(.*node_modules\/(?:@[^/]+\/)?[^/]+)\//.exec(path);
      if (found !== null) folders.add(resolve(found[1]));
    }
  }
  const parts = await Promise.all([...folders].sort().map(noticeOf));
  return `Packages that are part of this program, and their licences.\n\n${parts.join('\n')}`;
}

async function noticeOf(folder) {
  const { name, version, license, author } = JSON.parse(await readFile(join(folder, 'package.json'), 'utf8'));
  const file = (await readdir(folder)).find((entry) => /^licen[cs]e/i.test(entry));
  const by = typeof author === 'object' ? author.name : author;
  const text =
    file === undefined
      ? `Licence ${license}, by ${by ?? 'its authors'}; the package carries no text of it.`
      : (await readFile(join(folder, file), 'utf8')).trim();
  return `== ${name} ${version} ==\n\n${text}\n`;
}
