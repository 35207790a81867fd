import type { EarSettings } from '../../bench/meter/ear.ts';
import { openFrom } from '../../bench/meter/judge.ts';
import type { Board } from '../../board/model.ts';
import type { Probe } from '../../circuit/reading.ts';
import { settlingOf } from '../../circuit/settling.ts';
import { AS_FOUND } from '../../circuit/state.ts';
import { printReading } from '../../job/print-say.ts';
import type { ReferenceProbe } from '../../job/reference.ts';
import { viewHold } from '../../report/hold.ts';
import { useMeter, workbenchFor } from '../engine.ts';
import type { Listener, Wanted } from '../listening/listener.ts';
import type { ReferenceTable } from './table.ts';

/** What the meter answers of a reading of the table; the probes are held for as long as capacitors charge. */
export function wantedFor(table: ReferenceTable, next: ReferenceProbe): Wanted {
  const { board } = table;
  const probe = probeOf(board, next);
  return {
    settings: settingsOf(table, probe),
    of: [next.red, next.black, next.mode, table.view().taken],
    take: (value) => ({ kind: 'heard', lines: [printReading(board, { ...probe, value })] }),
  };
}

/**
 * The line for what the meter shows now, taken at a person's word.
 * @throws {InputError} when it shows nothing, or nothing steady
 */
export function lineNow(listener: Listener, table: ReferenceTable, next: ReferenceProbe): string {
  const probe = probeOf(table.board, next);
  const value = listener.valueNow(settingsOf(table, probe));
  return printReading(table.board, { ...probe, value });
}

function settingsOf(table: ReferenceTable, probe: Probe): EarSettings {
  const { mode } = probe;
  const { beepOhms, leadOhms } = table.meter;
  const holdMs = 1000 * holdSeconds(table, probe);
  return { mode, beepOhms, leadOhms, openFrom: openFrom(mode, table.meter), holdMs };
}

function probeOf(board: Board, { red, black, mode }: ReferenceProbe): Probe {
  const net = (name: string): number => board.netNamed.get(name)?.index ?? -1;
  return { red: { net: net(red) }, black: { net: net(black) }, mode };
}

function holdSeconds({ board, meter }: ReferenceTable, probe: Probe): number {
  if (workbenchFor(board).bench.meter !== meter) useMeter(board, meter);
  const { circuit } = workbenchFor(board).bench;
  const settling = settlingOf(board, circuit.view(AS_FOUND), AS_FOUND, meter, probe);
  return viewHold(board, probe.mode, settling)?.seconds ?? 0;
}
