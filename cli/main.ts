#!/usr/bin/env node
import { once } from 'node:events';
import { Worker } from 'node:worker_threads';

const { argv, stdin, stdout, stderr } = process;

// Run from the TypeScript sources, a thread would find no script.
const threadScript = import.meta.url.endsWith('.js') ? new URL('./survey-thread.js', import.meta.url) : undefined;
// The thread of a survey loads what it needs while the command line is still being read.
let early = threadScript !== undefined && argv[2] === 'survey' ? new Worker(threadScript) : undefined;
// Where the command line turns out to ask for no survey, nobody waits for it.
early?.unref();
// One that cannot start is forgotten: the next is asked for where there is somebody to hear why.
early?.once('error', () => {
  early = undefined;
});
const startThread = (script: URL): Worker => {
  const worker = early ?? new Worker(script);
  worker.removeAllListeners('error');
  early = undefined;
  worker.ref();
  return worker;
};
stdout.on('error', (error: NodeJS.ErrnoException) => {
  // A closed pipe (`plateful survey … | head`) is the reader's choice, not a fault.
  if (error.code === 'EPIPE') process.exit(0);
  throw error;
});

// The first Ctrl-C asks the work to stop; the handler is then gone, and a second one ends the process at once.
const stop = new AbortController();
process.once('SIGINT', () => stop.abort());
process.once('SIGTERM', () => stop.abort());

const { run } = await import('./run.js');
process.exitCode = await run(argv.slice(2), {
  out: async (text) => {
    if (!stdout.write(text)) await once(stdout, 'drain');
  },
  err: (text) => void stderr.write(text),
  outIsTerminal: stdout.isTTY === true,
  errIsTerminal: stderr.isTTY === true,
  columns: stdout.columns ?? 80,
  env: process.env,
  cwd: process.cwd(),
  signal: stop.signal,
  ...(threadScript !== undefined && { surveyThread: () => startThread(threadScript) }),
  readInput: async () => {
    const chunks: Buffer[] = [];
    for await (const chunk of stdin) chunks.push(chunk as Buffer);
    return Buffer.concat(chunks).toString('utf8');
  },
});
