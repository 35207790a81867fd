import { expect, it } from 'vitest';
import type { Diagnostic } from '../../src/board/diagnostic.ts';
import type { Context } from '../../src/cli/context.ts';
import { printDiagnostics } from '../../src/cli/diagnostics.ts';

const UNKNOWN: Diagnostic = {
  code: 'UNKNOWN_METER',
  severity: 'error',
  message: 'there is no meter "handheld" in the catalogue of this program',
  hint: 'there are: common handheld; low-cost handheld; industrial handheld; bench meter',
};

function printed(terminal: { readonly columns: number } | undefined): string[] {
  let out = '';
  const stderr = {
    isTTY: terminal !== undefined,
    columns: terminal?.columns,
    write: (text: string) => {
      out += text;
    },
  };
  printDiagnostics({ stderr, env: {}, colour: false } as unknown as Context, [UNKNOWN]);
  return out.trimEnd().split('\n');
}

it('breaks the words of an error between words at a narrow terminal', () => {
  expect(printed({ columns: 50 })).toEqual([
    'error[UNKNOWN_METER] there is no meter',
    '  "handheld" in the catalogue of this program',
    '  there are: common handheld; low-cost handheld;',
    '  industrial handheld; bench meter',
  ]);
});

it('leaves them whole for a program to read', () => {
  expect(printed(undefined)).toHaveLength(2);
});
