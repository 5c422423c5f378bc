import { Fault, type FaultDetails } from './fault.js';

/** Threads that jobs of a survey can be handed to; the host makes them, since a library has no threads of its own. */
export interface Threads {
  /** How many jobs run at a time. */
  readonly size: number;
  /** Do the threads see one another's memory (SharedArrayBuffer)? A page opened from disk has none. */
  readonly sharesMemory: boolean;
  /** The answer to a job; its input is copied, but for shared memory. @throws what the job throws */
  run(job: string, input: unknown): Promise<unknown>;
}

/** What goes to a thread, and what comes back. */
export interface JobMessage {
  readonly job: string;
  readonly input: unknown;
}
export type JobAnswer =
  | { readonly answer: unknown }
  | { readonly fault: FaultDetails }
  | { readonly error: { readonly message: string; readonly stack: string } };

/** A thread as the pool sees it: a worker of Node or of a browser. */
export interface Thread {
  post(message: JobMessage): void;
  onAnswer(take: (answer: JobAnswer) => void): void;
  /** The thread died: for want of memory, most likely. */
  onDeath(take: (error: unknown) => void): void;
  end(): void;
}

interface Waiting {
  readonly message: JobMessage;
  resolve(answer: unknown): void;
  reject(error: unknown): void;
}

/**
 * A pool that starts a thread only when there is a job for it. A thread that dies fails its own job alone and is replaced
 * with the next.
 */
export class ThreadPool implements Threads {
  private readonly idle: Thread[] = [];
  private readonly all = new Set<Thread>();
  private readonly line: Waiting[] = [];

  constructor(
    readonly size: number,
    readonly sharesMemory: boolean,
    private readonly start: () => Thread,
  ) {}

  run(job: string, input: unknown): Promise<unknown> {
    return new Promise((resolve, reject) => {
      this.line.push({ message: { job, input }, resolve, reject });
      this.next();
    });
  }

  /** Ends all threads; jobs under way are never answered. */
  end(): void {
    for (const thread of this.all) thread.end();
    this.all.clear();
    this.idle.length = 0;
    this.line.length = 0;
  }

  private next(): void {
    if (this.line.length === 0) return;
    if (this.idle.length === 0 && this.all.size === this.size) return;
    const thread = this.idle.pop() ?? this.start();
    this.all.add(thread);
    const { message, resolve, reject } = this.line.shift()!;
    thread.onAnswer((answer) => {
      this.idle.push(thread);
      if ('answer' in answer) resolve(answer.answer);
      else reject('fault' in answer ? new Fault(answer.fault) : Object.assign(new Error(), answer.error));
      this.next();
    });
    thread.onDeath((error) => {
      this.all.delete(thread);
      const known = this.idle.indexOf(thread);
      if (known >= 0) this.idle.splice(known, 1);
      thread.end();
      reject(error);
      this.next();
    });
    thread.post(message);
  }
}

/** The buffers of all typed arrays in a value, so that they change hands instead of being copied. Shared ones stay. */
export function buffersOf(value: unknown, found = new Set<ArrayBuffer>()): Set<ArrayBuffer> {
  if (ArrayBuffer.isView(value)) {
    if (value.buffer instanceof ArrayBuffer) found.add(value.buffer);
  } else if (typeof value === 'object' && value !== null) {
    for (const part of Object.values(value)) if (typeof part === 'object') buffersOf(part, found);
  }
  return found;
}
