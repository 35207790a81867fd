import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { RHYTHMS, ringing, sounderFor } from '../../src/cli/sound.ts';

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

function terminal(isTTY: boolean): { stderr: NodeJS.WriteStream; written: string[] } {
  const written: string[] = [];
  const stderr = { isTTY, write: (text: string) => written.push(text) };
  return { stderr: stderr as unknown as NodeJS.WriteStream, written };
}

describe('sounds', () => {
  it('differ by number or rhythm', () => {
    const rhythms = Object.values(RHYTHMS).map((times) => times.join(' '));
    expect(new Set(rhythms).size).toBe(rhythms.length);
    const counts = Object.values(RHYTHMS).map((times) => times.length);
    expect(new Set(counts).size).toBe(counts.length);
  });

  it('never wait: what is not due yet is left to the clock, one sound after the other', () => {
    const rung: number[] = [];
    const sounder = ringing(() => rung.push(performance.now()));
    const start = performance.now();
    sounder.play('contradiction');
    sounder.play('recorded');
    expect(rung).toHaveLength(1);
    vi.advanceTimersByTime(5000);
    const after = rung.map((at) => at - start);
    expect(after.slice(0, 3)).toEqual([...RHYTHMS.contradiction]);
    expect(after).toHaveLength(4);
    expect(Number(after[3])).toBeGreaterThan(Number(after[2]) + 300);
  });

  it('fall silent when told to', () => {
    let rung = 0;
    const sounder = ringing(() => {
      rung += 1;
    });
    sounder.play('clear');
    sounder.stop();
    vi.advanceTimersByTime(5000);
    expect(rung).toBe(1);
  });

  it('are none off a terminal, with --no-sound, or where the shop wants none', () => {
    const silent = [
      [terminal(false), false, true],
      [terminal(true), true, true],
      [terminal(true), false, false],
    ] as const;
    for (const [{ stderr, written }, isSilent, sound] of silent) {
      sounderFor({ stderr, isSilent }, { sound }).play('clear');
      vi.advanceTimersByTime(5000);
      expect(written).toEqual([]);
    }
    const { stderr, written } = terminal(true);
    sounderFor({ stderr }, { sound: true }).play('recorded');
    expect(written).toEqual(['\u0007']);
  });
});
