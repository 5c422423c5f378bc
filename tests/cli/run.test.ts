import { describe, expect, test } from 'vitest';
import { Fault } from '../../src/base/fault.js';
import { displayWidth } from '../../src/sheet/table.js';
import { sampleResult } from '../sheet/sample-survey.js';
import { plateful } from './harness.js';

const here = 'harness.ts';
const survey = async () => sampleResult();

describe('help', () => {
  test.each([[['--help']], [['survey', '--help']]])('%j fits 80 places and ends with 0', async (argv) => {
    const { status, out, err } = await plateful(argv);
    expect([status, err]).toEqual([0, '']);
    for (const line of out.split('\n')) expect(displayWidth(line), line).toBeLessThanOrEqual(80);
    expect(out).toContain('Usage: plateful');
  });

  test('no command: help on standard error, wrong usage', async () => {
    const { status, out, err } = await plateful([]);
    expect([status, out]).toEqual([1, '']);
    expect(err).toContain('Usage: plateful');
  });

  test('the version is the one in package.json', async () => {
    const { default: pack } = await import('../../package.json', { with: { type: 'json' } });
    expect(await plateful(['--version'])).toEqual({ status: 0, out: `${pack.version}\n`, err: '' });
  });
});

describe('wrong usage is one line, status 1', () => {
  test.each([
    [['survey', here, '--jsno'], "unknown option '--jsno'. Did you mean --json?"],
    [['surve', here], "unknown command 'surve'. Did you mean survey?"],
    [['plate.stl'], "unknown command 'plate.stl'. Did you mean plateful survey plate.stl?"],
    [['survey'], "missing required argument 'files'. See: plateful survey --help"],
    [['survey', here, '--unit', 'furlong'], 'Allowed are mm, cm, m, in, ft, um.'],
    [['survey', here, '--band', '-1'], 'Write a number from 0.1 to 100 mm.'],
    [['survey', here, '--role', 'key=4'], 'Write a hollow and piece, key, gutter or mark: 4=key, mark2=piece.'],
    [['survey', here, '--tear', 'strong'], 'Write a number from 0.05 to 100 N/mm.'],
    [['survey', here, '--form', 'cake'], 'Allowed choices are mould, scan, sculpt, pieces.'],
    [
      ['survey', here, '-o', 'plan.pdf'],
      'The ending does not say what to write. End it in .json or .csv or .txt or .ply',
    ],
    [['survey', here, '--picture', 'plan.pdf'], 'End it in .svg or .png.'],
    [['survey', '--\u001b[31m\nred'], "unknown option '--\\u{1b}[31m\\nred'."],
  ])('%j', async (argv, words) => {
    const { status, out, err } = await plateful(argv, { survey });
    expect([status, out]).toEqual([1, '']);
    expect(err).toContain(words);
    expect(err.trimEnd()).not.toContain('\n');
  });
});

describe('survey', () => {
  test('options reach the survey in its own terms', async () => {
    let seen: unknown;
    const argv = ['survey', here, '--unit', 'inch', '--form', 'scan', '--band', '2.5', '--role', '4=key,5=mark'];
    await plateful(
      [...argv, '--role', 'mark2=piece', '--scrape', 'bowed', '--quick', '--tear', '3.2', '--way', 'encapsulated'],
      {
        survey: async (source, { signal, progress, ...options }) => {
          seen = { name: source.name, ...options };
          return survey();
        },
      },
    );
    expect(seen).toEqual({
      name: here,
      unit: 'in',
      form: 'scan',
      bandMm: 2.5,
      roles: { 4: 'key', 5: 'mark', mark2: 'piece' },
      scrape: 'bowed',
      quick: true,
      edges: { tearNPerMm: 3.2, way: 'encapsulated' },
    });
  });

  test('--json prints exactly one document, the same from run to run', async () => {
    const first = await plateful(['survey', here, '--json'], { survey, outIsTerminal: true, errIsTerminal: true });
    const second = await plateful(['survey', here, '--json'], { survey });
    expect(first.out).toBe(second.out);
    expect(JSON.parse(first.out).format).toBe('plateful.survey');
  });

  test('colour only on a terminal, and never under NO_COLOR', async () => {
    const painted = '\u001b[';
    const env = { TERM: 'xterm-256color' };
    const seen = async (edges: object) => (await plateful(['survey', here], { survey, env, ...edges })).out;
    expect(await seen({ outIsTerminal: true })).toContain(painted);
    expect(await seen({ outIsTerminal: false })).not.toContain(painted);
    expect(await seen({ outIsTerminal: true, env: { ...env, NO_COLOR: '1' } })).not.toContain(painted);
    expect(await seen({ outIsTerminal: true, env: { TERM: 'dumb' } })).not.toContain(painted);
  });

  test('progress is drawn on a terminal only, and cleared', async () => {
    const slow = async (
      _: unknown,
      { progress }: { progress?: ((stage: string, done: number) => void) | undefined },
    ) => {
      progress?.('reading', 0.5);
      return survey();
    };
    expect((await plateful(['survey', here], { survey: slow })).err).toBe('');
    expect((await plateful(['survey', here], { survey: slow, errIsTerminal: true })).err).toBe(
      '\r\u001b[Kreading 50 %\r\u001b[K',
    );
  });

  test.each([
    ['no-such-plate.stl', 'file-missing'],
    ['.', 'file-is-folder'],
  ])('%s: one line that names the file, status 2', async (file, code) => {
    const { status, out, err } = await plateful(['survey', file, '--json'], { survey });
    expect([status, out]).toEqual([2, '']);
    expect(err).toMatch(new RegExp(`^${file.replaceAll('.', '\\.')}: .*\\[${code}\\]\n$`));
  });

  test('a fault from deep inside gets the name of its file, and nothing of it moves the cursor', async () => {
    const { status, err } = await plateful(['survey', here], {
      survey: async () => {
        throw new Fault({ code: 'stl-cut-short', message: 'the file\u001b[2J ends early.', where: 'byte 1284' });
      },
    });
    expect(status).toBe(2);
    expect(err).toBe(`${here}, byte 1284: the file\\u{1b}[2J ends early. [stl-cut-short]\n`);
  });
});

describe('many files', () => {
  const files = [here, 'no-such-plate.stl', 'run.test.ts'];

  test('--json-lines prints one document a line; a file that fails stops only itself', async () => {
    const { status, out, err } = await plateful(['survey', ...files, '--json-lines', '--quick'], {
      survey: async (source) => sampleResult({ source: { ...sampleResult().document.source, file: source.name } }),
      errIsTerminal: true,
    });
    expect(status).toBe(2);
    const lines = out.trimEnd().split('\n');
    expect(lines.map((line) => JSON.parse(line).source.file)).toEqual([here, 'run.test.ts']);
    expect(err.split('\n').filter((line) => line.includes('[file-missing]'))).toHaveLength(1);
  });

  test('a fault of ours in one file is said and stops only itself', async () => {
    const { status, out, err } = await plateful(['survey', here, 'run.test.ts', '--json-lines'], {
      survey: async (source) => {
        if (source.name === here) throw new RangeError('out of memory');
        return sampleResult();
      },
    });
    expect([status, out.split('\n').length]).toEqual([70, 2]);
    expect(err).toMatch(new RegExp(`^${here}: a fault in plateful.*out of memory.*\\[internal\\]\n$`));
  });

  test('the table shows one plate, and --json is one document', async () => {
    for (const more of [[], ['--json'], ['-o', 'x.json']]) {
      const { status, out, err } = await plateful(['survey', ...files, ...more], { survey });
      expect([status, out]).toEqual([1, '']);
      expect(err).toContain('--json-lines');
    }
    const both = await plateful(['survey', here, '--json-lines', '--json'], { survey });
    expect(both.err).toContain("option '--json-lines' cannot be used with option '--json'");
  });
});

describe('what should not happen', () => {
  const broken = async () => {
    throw new TypeError('x is undefined');
  };

  test('a fault of ours is one plain line without a stack, and with it when asked', async () => {
    const { status, out, err } = await plateful(['survey', here], { survey: broken });
    expect([status, out]).toEqual([70, '']);
    expect(err).toMatch(/^plateful [\d.]+: this is a fault in plateful.*x is undefined.*\[internal\]\n$/);
    const debug = await plateful(['survey', here], { survey: broken, env: { PLATEFUL_DEBUG: '1' } });
    expect(debug.err).toContain('run.test.ts:');
  });

  test('stopped by the person: said, nothing written, status 130', async () => {
    const stop = new AbortController();
    const { status, out, err } = await plateful(['survey', here, '-o', 'never.json'], {
      signal: stop.signal,
      survey: async (_, { signal }) => {
        expect(signal).toBe(stop.signal);
        // The survey was too near its end to see it.
        stop.abort();
        return survey();
      },
    });
    expect([status, out, err]).toEqual([130, '', 'plateful: stopped; nothing was written.\n']);
  });
});
