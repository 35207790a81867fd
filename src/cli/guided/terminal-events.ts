import { suspend } from '../signals.ts';

/**
 * Listens, while a prompt stands, for what happens to the terminal rather than to what is typed.
 * @param redraw the size changed, or the run was stopped and goes on: what stood there may be gone
 * @param end no more can be typed
 * @param rl ends with its prompt, and what listens to it with that
 * @returns gives up listening
 */
export function onTerminal(
  rl: { on(event: 'SIGTSTP' | 'close', act: () => void): unknown },
  redraw: () => void,
  end: () => void,
): () => void {
  const stop = (): void => {
    process.stdin.setRawMode?.(false);
    suspend();
    redraw();
  };
  rl.on('SIGTSTP', stop);
  rl.on('close', end);
  process.on('SIGCONT', redraw);
  process.stderr.on('resize', redraw);
  return () => {
    process.off('SIGCONT', redraw);
    process.stderr.off('resize', redraw);
  };
}
