import type { Part } from '../board/model.ts';

const AMPS_TEXT = /(\d+(?:[.,]\d+)?)\s*(m?)A\b/i;

/** A that a part is marked with, in its printed text: `T 2 A`, `500mA`; undefined where it says none. */
export function ratedAmps({ text }: Part): number | undefined {
  const [, number, milli] = AMPS_TEXT.exec(text ?? '') ?? [];
  return number === undefined ? undefined : Number(number.replace(',', '.')) * (milli ? 0.001 : 1);
}
