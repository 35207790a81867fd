import type { Style } from '../../report/style.ts';
import { wrap } from '../../report/wrap.ts';
import type { Live } from '../guided/key-prompt.ts';

/** What is shown below the prompt fits the screen. */
export function wrapped(live: Live, { width, palette }: Style): Live {
  return (host) =>
    live({ ...host, show: (text) => host.show(wrap(text, width).map(palette.strong).join('\n')) });
}
