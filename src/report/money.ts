import { harmless } from '../board/shown-text.ts';
import type { Spread } from '../job/shop/spread.ts';
import { GLUE } from './wrap.ts';

/** `41.60 EUR`, `€41.60`, `41.60`: a sign stands before the figure, a code behind it. */
export function moneyText(amount: number, currency: string): string {
  const figure = amount.toFixed(2);
  const shown = harmless(currency);
  if (shown === '') return figure;
  return /^\p{Sc}$/u.test(shown) ? shown + figure : `${figure}${GLUE}${shown}`;
}

/** `41.60 EUR (30.00 to 55.00)`; the bounds only where they differ. */
export function moneySpread({ low, expected, high }: Spread, currency: string): string {
  const [from, to] = [low.toFixed(2), high.toFixed(2)];
  const sum = moneyText(expected, currency);
  return from === to ? sum : `${sum} (${from}${GLUE}to${GLUE}${to})`;
}
