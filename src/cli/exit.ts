/** What the exit code says; the same for every command. */
export const EXIT = {
  /** Done; nothing shorted, nothing different. */
  ok: 0,
  /** A short, or a difference, was found. */
  found: 1,
  /** Input or usage we cannot work with. */
  badInput: 2,
  /** The readings contradict each other. */
  contradiction: 3,
  /** A fault in trace-short itself. */
  ownFault: 70,
  /** Ended by Ctrl-C. */
  interrupted: 130,
} as const;

/** What Ctrl-C at a prompt throws. */
export function interrupted(): Error {
  return Object.assign(new Error('interrupted'), { name: 'ExitPromptError' });
}

/** Whether an error is the prompt's way to say that Ctrl-C was pressed. */
export function isInterrupt(error: unknown): boolean {
  return error instanceof Error && error.name === 'ExitPromptError';
}
