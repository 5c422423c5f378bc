import { type Unzipped, unzipSync } from 'fflate';
import { Fault } from '../base/fault.js';

const mostFiles = 200;
const mostBytes = 512 << 20;
const deepest = 3;

/** What a job's folder may hold besides: notes, pictures and printed sheets are no concern of the page. */
const ours = /\.(json|jsonl|ya?ml|csv|stl|obj|ply|3mf)(\.gz)?$/i;

function tooMuch(): Fault {
  return new Fault({
    code: 'job-too-large',
    message: `This folder holds more than ${mostFiles} files, or more than ${mostBytes >> 20} MB.`,
    remedy: 'Choose the folder of one job.',
  });
}

export function isZip(head: Uint8Array): boolean {
  return head[0] === 0x50 && head[1] === 0x4b && head[2] === 3 && head[3] === 4;
}

/**
 * The files of a job that was saved as one zip. Sizes are looked at before anything is unpacked, and names serve for
 * nothing but their endings.
 * @returns null where it is no job but a mesh in a zip (3MF)
 * @throws Fault `job-too-large`, `job-zip`
 */
export function unpackJob(bytes: Uint8Array<ArrayBuffer>): File[] | null {
  let [count, total, isMesh] = [0, 0, false];
  let entries: Unzipped;
  try {
    entries = unzipSync(bytes, {
      filter: ({ name, originalSize }) => {
        isMesh ||= /\.model$/i.test(name);
        if (!ours.test(name)) return false;
        count += 1;
        total += originalSize;
        if (count > mostFiles || total > mostBytes) throw tooMuch();
        return true;
      },
    });
  } catch (error) {
    if (error instanceof Fault) throw error;
    throw new Fault({
      code: 'job-zip',
      message: 'This zip is damaged, or cut off.',
      remedy: 'Copy it anew, or unpack it and choose its files.',
    });
  }
  if (isMesh) return null;
  return Object.entries(entries).map(([name, data]) => new File([data.slice()], name.split('/').at(-1) ?? name));
}

/** The files of what was dropped; of folders those that a job may hold. @throws Fault `job-too-large` */
export async function droppedFiles(transfer: DataTransfer): Promise<File[]> {
  // Both lists are emptied once the event is over: everything is taken from them before the first wait.
  const plain = [...transfer.files];
  const entries = [...transfer.items].flatMap((item) => item.webkitGetAsEntry() ?? []);
  if (!entries.some(({ isDirectory }) => isDirectory)) return plain;
  const found: File[] = [];
  const walk = async (entry: FileSystemEntry, depth: number): Promise<void> => {
    if (entry.isFile) {
      if (depth > 0 && !ours.test(entry.name)) return;
      found.push(await new Promise<File>((take, refuse) => (entry as FileSystemFileEntry).file(take, refuse)));
      if (found.length > mostFiles) throw tooMuch();
    } else if (depth < deepest && !entry.name.startsWith('.')) {
      for (const inner of await listed(entry as FileSystemDirectoryEntry)) await walk(inner, depth + 1);
    }
  };
  for (const entry of entries) await walk(entry, 0);
  return found;
}

/** A browser hands a folder's entries over in portions; an empty one is the last. */
async function listed(folder: FileSystemDirectoryEntry): Promise<FileSystemEntry[]> {
  const reader = folder.createReader();
  const all: FileSystemEntry[] = [];
  for (;;) {
    const some = await new Promise<FileSystemEntry[]>((take, refuse) => reader.readEntries(take, refuse));
    if (some.length === 0) return all;
    all.push(...some);
  }
}

/** Of a folder that was chosen, the files that a job may hold. */
export function chosenFolder(files: readonly File[]): File[] {
  return files.filter(({ name }) => ours.test(name)).slice(0, mostFiles);
}
