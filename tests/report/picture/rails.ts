import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { loadBoard } from '../../../src/board/load.ts';
import type { Board } from '../../../src/board/model.ts';
import { AS_FOUND } from '../../../src/circuit/state.ts';
import type { Suspect } from '../../../src/faults/diagnosis.ts';
import { NO_EVIDENCE, type TakenReading } from '../../../src/faults/evidence.ts';
import { parseSay } from '../../../src/job/notation.ts';
import type { PictureFacts } from '../../../src/report/picture/view.ts';

/** The sorting-line weigher of the ready boards: 68 bypass capacitors on its 3.3 V. */
export function weigher(): Board {
  const file = new URL('../../../boards/bypass-rail.yaml', import.meta.url);
  return loadBoard(readFileSync(file, 'utf8'), 'bypass-rail.yaml').board;
}

/** What a picture is made from, with readings in the notation and suspects by name. */
export function factsOf(
  board: Board,
  lines: readonly string[],
  suspects: Readonly<Record<string, number>> = {},
): PictureFacts {
  const rail = board.rails.find(({ plus }) => board.nets[plus]?.name === 'V3') ?? board.rails[0];
  if (rail === undefined) throw new Error('the board has no rail');
  const readings = lines.map((line, index): TakenReading => {
    const say = parseSay(board, line);
    if (say.do !== 'read') throw new Error(`"${line}" is no reading`);
    return { ...say.reading, id: index + 2, state: AS_FOUND };
  });
  return {
    board,
    rail,
    evidence: { ...NO_EVIDENCE, readings },
    suspects: Object.entries(suspects).map(([name, weight]): Suspect => {
      const part = board.partNamed.get(name)?.index ?? -1;
      return { part, weight, modes: [{ mode: 'short', weight }], alike: [part] };
    }),
  };
}

/** Rails of up to 60 capacitors strewn over a board, some of them read, some suspected, some unplaced. */
export const strewnRails: fc.Arbitrary<PictureFacts> = fc
  .record({
    parts: fc.array(
      fc.record({
        at: fc.option(
          fc.tuple(fc.integer({ min: -9, max: 120 }), fc.integer({ min: -1100, max: -1000 })),
          {
            freq: 9,
          },
        ),
        side: fc.constantFrom('', ', side: top', ', side: bottom'),
        read: fc.option(fc.integer({ min: 200, max: 900 })),
        weight: fc.constantFrom(0, 0, 0.01, 0.05, 0.3),
      }),
      { minLength: 1, maxLength: 60 },
    ),
    stem: fc.constantFrom('C', 'C<', 'C&', 'C"', "C'", 'コ', 'CAPACITOR_OF_THE_RAIL_'),
    far: fc.array(fc.tuple(fc.nat(59), fc.nat(59)), { maxLength: 4 }),
  })
  .map(({ parts, stem, far }) => {
    const name = (index: number): string => `${stem}${index + 1}`;
    const rows = parts.map(({ at, side }, index) => {
      const place = at === null ? '' : `, at: [${at.join(', ')}]`;
      return `  ${JSON.stringify(name(index))}: {kind: ceramic, pins: [P5, GND]${place}${side}}`;
    });
    const text = `board: b\nrails:\n  logic: {plus: P5, minus: GND}\nparts:\n${rows.join('\n')}\n`;
    const { board } = loadBoard(text, 'strewn.yaml');
    const lines = parts.flatMap(({ read }, index) =>
      read === null ? [] : [`${name(index)}.1 ${name(index)}.2 ${read / 10} mohm`],
    );
    const spans = far
      .filter(([a, b]) => a !== b && Math.max(a, b) < parts.length)
      .map(([a, b]) => `${name(a)}.1 ${name(b)}.1 3 mohm`);
    const suspects = Object.fromEntries(
      parts.flatMap(({ weight }, index) => (weight > 0 ? [[name(index), weight]] : [])),
    );
    return factsOf(board, [...lines, ...spans], suspects);
  });
