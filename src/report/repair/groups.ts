/** What the groups of the pull and fit lists are called. */
import { sentence } from '../words.ts';
import type { PullGroupView } from './model.ts';

/** `Heatsink main`, `Surface, bottom side`. */
export function groupTitle({
  what,
  heatsink,
  side,
}: Omit<PullGroupView, 'parts' | 'staying'>): string {
  if (heatsink !== undefined) {
    return heatsink === 'heatsink' ? 'On the heatsink' : `On heatsink ${heatsink}`;
  }
  const words = {
    heatsink: 'on a heatsink',
    leaded: 'leaded parts',
    tall: 'tall leaded parts',
    surface: 'surface-mount parts',
    'not known': 'parts whose package is not known',
  }[what];
  return sentence(side === undefined ? words : `${words}, ${side} side`);
}
