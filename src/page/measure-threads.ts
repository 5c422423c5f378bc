import { buffersOf, type JobAnswer, type JobMessage, type Thread, ThreadPool } from '../base/threads.js';
import { doJob } from '../measure/jobs.js';

/** What a dedicated worker has of its own; the page's own types do not know it. */
interface WorkerScope {
  readonly name: string;
  onmessage: ((event: MessageEvent<JobMessage>) => void) | null;
  postMessage(answer: JobAnswer, transfer: Transferable[]): void;
}
const scope = self as unknown as WorkerScope;

const threadName = 'measure';

/** The same script runs as the survey's worker and, under another name, as a thread that does jobs for it. */
export const isMeasureThread = scope.name === threadName;

/** Threads to share a survey with, where the page may share memory; a page opened from disk may not. */
export function measureThreads(): ThreadPool | undefined {
  const size = Math.min(8, navigator.hardwareConcurrency || 1);
  if (!self.crossOriginIsolated || size < 2) return undefined;
  return new ThreadPool(size, true, startThread);
}

function startThread(): Thread {
  const worker = new Worker(self.location.href, { name: threadName });
  return {
    post: (message) => worker.postMessage(message),
    onAnswer(take) {
      worker.onmessage = ({ data }: MessageEvent<JobAnswer>) => take(data);
    },
    onDeath(take) {
      worker.onerror = (event) => take(new Error(event.message));
    },
    end: () => worker.terminate(),
  };
}

export function serveJobs(): void {
  scope.onmessage = async ({ data }) => {
    const answer = await doJob(data);
    scope.postMessage(answer, [...buffersOf(answer)]);
  };
}
