import { Fault } from '../base/fault.js';

export function noCavities(): Fault {
  return new Fault({
    code: 'no-cavities',
    message: 'It holds a flat face, but no cavity in it.',
    remedy:
      'Check that it is the side with the cavities that was scanned or exported; if it is one loose piece, give --form pieces.',
  });
}

export function noPlate(): Fault {
  return new Fault({
    code: 'no-plate',
    message: 'No plate was found in it: no flat land that holds enough of the surface.',
    remedy: 'A mould, a scan of its face or a sculpt on a flat board is expected; check the file in a mesh viewer.',
  });
}

/** A block without any hollow has twelve triangles. */
const leastTriangles = 12;

/** @throws Fault `too-few-triangles` where a mesh cannot even be a block */
export function checkTriangles(count: number): void {
  if (count >= leastTriangles) return;
  throw new Fault({
    code: 'too-few-triangles',
    message: `It holds only ${count} ${count === 1 ? 'triangle' : 'triangles'}: that is no plate.`,
    remedy: 'Check in a mesh viewer what was exported, and export the whole plate.',
  });
}
