#!/usr/bin/env node
import { once } from 'node:events';
import { run } from './run.js';

const { stdin, stdout, stderr } = process;
stdout.on('error', (error: NodeJS.ErrnoException) => {
  // A closed pipe (`plateful survey … | head`) is the reader's choice, not a fault.
  if (error.code === 'EPIPE') process.exit(0);
  throw error;
});

// The first Ctrl-C asks the work to stop; the handler is then gone, and a second one ends the process at once.
const stop = new AbortController();
process.once('SIGINT', () => stop.abort());
process.once('SIGTERM', () => stop.abort());

process.exitCode = await run(process.argv.slice(2), {
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
  // Run from the TypeScript sources, a thread would find no script.
  ...(import.meta.url.endsWith('.js') && { surveyThread: new URL('./survey-thread.js', import.meta.url) }),
  readInput: async () => {
    const chunks: Buffer[] = [];
    for await (const chunk of stdin) chunks.push(chunk as Buffer);
    return Buffer.concat(chunks).toString('utf8');
  },
});
