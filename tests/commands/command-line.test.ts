import { describe, expect, test } from 'vitest';
import manifest from '../../package.json';
import { commands } from '../../server/commands/registry.ts';
import { styleOf, wantsColour } from '../../server/terminal.ts';
import { enginewright } from '../support/command-line.ts';

describe('help', () => {
  test('the version is that of the package', async () => {
    expect(await enginewright('--version')).toEqual({ status: 0, out: `${manifest.version}\n`, err: '' });
  });

  test('the overview names every command', async () => {
    const { status, out } = await enginewright('--help');
    expect(status).toBe(0);
    for (const { name, summary } of commands) {
      expect(out).toContain(`  ${name}`);
      expect(out).toContain(summary);
    }
    expect(await enginewright('help')).toEqual({ status: 0, out, err: '' });
  });

  test.each(commands.map((command) => [command.name, command] as const))(
    'of %s: every option with its choices, by either way',
    async (name, command) => {
      const { status, out } = await enginewright('help', name);
      expect(status).toBe(0);
      for (const [option, { choices }] of Object.entries((await command.load()).options)) {
        expect(out).toContain(choices ? `--${option} ${choices.join('|')}` : `--${option}`);
      }
      expect((await enginewright(name, '--help')).out).toBe(out);
    },
  );
});

describe('a command line that makes no sense is refused in one sentence', () => {
  test.each([
    [[], "Missing command; use 'check', 'derive'"],
    [['chekc'], "Unknown command 'chekc'; use 'check', 'derive'"],
    [['help', 'chekc'], "Unknown command 'chekc'"],
    [['check'], "'check' needs at least one file or folder."],
    [['check', '--colour', '.'], "'check' has no option '--colour'."],
    [['check', '--toString', '.'], "'check' has no option '--toString'."],
    [['check', '--format', 'xml', '.'], "'--format' cannot be 'xml'; use 'text', 'json', "],
    [['check', '.', '--format'], "'--format' needs a value."],
    [['check', '--fail-on=never', '.'], "'--fail-on' cannot be 'never'; use 'error' or 'warning'."],
    [['derive'], "'derive' takes one engine file."],
    [['derive', 'a.engine.yaml', 'b.engine.yaml'], "'derive' takes one engine file."],
    [['explain', 'no-such-check'], "Unknown check 'no-such-check'."],
    [['serve'], "'serve' needs '--stdio'."],
    [['serve', '--stdio=yes'], "'--stdio' takes no value."],
    [['serve', '--stdio', 'a.engine.yaml'], "'serve' takes no files"],
  ])('%j', async (args, sentence) => {
    const { status, out, err } = await enginewright(...args);
    expect(status).toBe(2);
    expect(out).toBe('');
    expect(err).toContain(`enginewright: `);
    expect(err).toContain(sentence);
    expect(err.trimEnd()).not.toContain('\n');
  });
});

describe('a word that is a slip or two away is named', () => {
  test.each([
    [['chekc', '.'], "Did you mean 'check'?"],
    [['Derive', 'a.engine.yaml'], "Did you mean 'derive'?"],
    [['help', 'exlpain'], "Did you mean 'explain'?"],
    [['--verison'], "Did you mean '--version'?"],
    [['check', '--fromat', 'json', '.'], "'check' has no option '--fromat'. Did you mean '--format'? See "],
    [['check', '--failon=error', '.'], "Did you mean '--fail-on'?"],
    [['check', '--hepl'], "Did you mean '--help'?"],
    [['check', '--format', 'jsno', '.'], "Did you mean 'json'?"],
    [['explain', 'pumpmargin'], "Unknown check 'pumpmargin'. Did you mean 'pump-margin'?"],
  ])('%j', async (args, sentence) => {
    const { status, out, err } = await enginewright(...args);
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err).toContain(sentence);
    expect(err.trimEnd()).not.toContain('\n');
  });

  test.each([
    [['frobnicate'], "Unknown command 'frobnicate'"],
    [['check', '--colour', '.'], "'check' has no option '--colour'. See 'enginewright help check'."],
    [['check', '-x', '.'], "'check' has no option '-x'. See 'enginewright help check'."],
    [['check', '--format', 'xml', '.'], "'--format' cannot be 'xml'"],
  ])('%j: none is near', async (args, sentence) => {
    const { err } = await enginewright(...args);
    expect(err).toContain(sentence);
    expect(err).not.toContain('Did you mean');
  });
});

test('the name of a file in a sentence is a name and no command to the terminal', async () => {
  const { status, err } = await enginewright('check', 'gone\x1b[2J\u202e.engine.yaml');
  expect(status).toBe(2);
  expect(err).toContain('gone');
  expect(err).not.toMatch(/[^\P{Cc}\n]|\u202e/u);
});

describe('colour', () => {
  test('is put around a text and taken back behind it', () => {
    expect(styleOf(true).red('error')).toBe('\x1b[31merror\x1b[39m');
    expect(styleOf(false).red('error')).toBe('error');
  });

  test.each([
    [true, {}, true],
    [false, {}, false],
    [true, { TERM: 'dumb' }, false],
    [true, { NO_COLOR: '1' }, false],
    [true, { NO_COLOR: '' }, true], // no-color.org: only a text that is not empty counts
    [false, { FORCE_COLOR: '1' }, true],
    [true, { FORCE_COLOR: '0' }, false],
    [true, { FORCE_COLOR: '1', NO_COLOR: '1' }, true],
  ])('terminal %j, environment %j: %j', (terminal, environment, expected) => {
    expect(wantsColour(terminal, environment)).toBe(expected);
  });
});
