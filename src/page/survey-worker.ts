import wasm from 'manifold-3d/manifold.wasm';
import { Fault } from '../base/fault.js';
import type { MeshSource, TaskOptions } from '../base/source.js';
import { configureSolids } from '../mesh/solid.js';
import { roundSurvey } from '../sheet/json.js';
import { survey } from '../survey.js';
import { isMeasureThread, measureThreads, serveJobs } from './measure-threads.js';
import { type BodyInput, buffersOf, buildShapes } from './picture/shapes.js';
import type { SurveyAnswer, SurveyRequest } from './worker-messages.js';

/** What a dedicated worker has of its own; the page's own types do not know it. */
interface WorkerScope {
  onmessage: ((event: MessageEvent<SurveyRequest>) => void) | null;
  postMessage(answer: SurveyAnswer, transfer?: Transferable[]): void;
}
const scope = self as unknown as WorkerScope;

configureSolids({ wasmBinary: wasm.slice().buffer });

const chunkBytes = 4 << 20;

/** A file that was dropped, as a source that is read in chunks. */
function droppedFile(file: File): MeshSource {
  return {
    name: file.name,
    byteLength: file.size,
    async *chunks() {
      for (let at = 0; at < file.size; at += chunkBytes) {
        yield new Uint8Array(await file.slice(at, at + chunkBytes).arrayBuffer());
      }
    },
  };
}

async function run({ file, unit, edges }: SurveyRequest): Promise<void> {
  const task: TaskOptions = {
    progress: (stage, done) => scope.postMessage({ kind: 'progress', stage, done }),
    threads: measureThreads(),
  };
  const result = await survey(droppedFile(file), { ...task, edges, ...(unit !== null && { unit }) });
  const bodies = result.cavities.flatMap(({ number, body, thickness }): BodyInput[] =>
    body === null ? [] : [{ number, body, map: thickness ?? undefined }],
  );
  task.progress?.('making the picture', 0);
  const shapes = buildShapes(result.plateMesh, bodies);
  scope.postMessage({ kind: 'done', document: roundSurvey(result.document), shapes }, buffersOf(shapes));
}

function faultOf(error: unknown, file: File): SurveyAnswer {
  if (error instanceof Fault) {
    const { code, message, where, remedy } = error;
    return { kind: 'fault', fault: { code, message, where, remedy, file: error.file ?? file.name } };
  }
  const tooLarge = error instanceof RangeError || error instanceof WebAssembly.RuntimeError;
  const fault = tooLarge
    ? {
        code: 'page-memory',
        message: 'The browser has no memory left for this file.',
        remedy: 'Close other pages and try again, or survey it on the command line.',
      }
    : {
        code: 'page-broken',
        message: 'Something went wrong inside the program; no figure was kept.',
        where: error instanceof Error ? error.message : String(error),
        remedy: 'Try the command line, and report the file if it fails there too.',
      };
  return { kind: 'fault', fault: { ...fault, file: file.name } };
}

if (isMeasureThread) serveJobs();
else
  scope.onmessage = ({ data }) => {
    run(data).catch((error: unknown) => scope.postMessage(faultOf(error, data.file)));
  };
