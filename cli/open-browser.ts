import { spawn } from 'node:child_process';

/** Asks the desktop to open an address; where there is none, the printed address is enough. */
export function openBrowser(address: string): void {
  const [command, ...before] =
    process.platform === 'darwin'
      ? ['open']
      : process.platform === 'win32'
        ? ['cmd', '/c', 'start', '""']
        : ['xdg-open'];
  const child = spawn(command!, [...before, address], { stdio: 'ignore', detached: true });
  child.on('error', () => {});
  child.unref();
}
