import { Fault } from '../base/fault.js';

const remedy = 'Copy or export the file again.';

export function plyCutShort(where: string, element: string, done: number, count: number): Fault {
  const message = `The file ends after ${done} of ${count} elements "${element}".`;
  return new Fault({ code: 'ply-cut-short', where, message, remedy });
}

export function plyBadIndex(where: string, index: number, vertices: number): Fault {
  const message = `A face refers to vertex ${index}, but the ${vertices} vertices are numbered from 0.`;
  return new Fault({ code: 'ply-bad-index', where, message, remedy });
}

export function plyFaceShort(where: string, corners: number): Fault {
  const message = `A face has ${corners} corners; it needs three or more.`;
  return new Fault({ code: 'ply-face-short', where, message, remedy });
}

export function plyBadCount(where: string, count: number): Fault {
  const message = `A list says it has ${count} items.`;
  return new Fault({ code: 'ply-list-count', where, message, remedy });
}

export function plyBytesBehind(where: string): Fault {
  const message = 'Something follows the last element that the header counts.';
  return new Fault({ code: 'ply-bytes-behind', where, message, remedy });
}

/** No face or list is longer: one that claims to be is damage, and would be kept in memory whole. */
export const longestList = 2 ** 24;
