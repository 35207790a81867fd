/** Signals that end a run: the lock of a job is given back, and the shell sees which one it was. */
const ENDING = { SIGHUP: 1, SIGTERM: 15 } as const;

let isSet = false;

/**
 * From here on a hang-up or a request to end leaves as Ctrl-C does: nothing half done, no lock left
 * behind. Only for runs a person sits at: a call under `nohup` keeps its own ways.
 */
export function endOnSignals(): void {
  if (isSet) return;
  isSet = true;
  for (const [name, number] of Object.entries(ENDING)) {
    process.on(name, () => process.exit(128 + number));
  }
}

/**
 * Stops the run as Ctrl-Z does; returns once it goes on. Where nothing could bring it back (no shell
 * waits for it) the system does not stop it, and it returns at once.
 */
export function suspend(): void {
  if (process.platform !== 'win32') process.kill(process.pid, 'SIGTSTP');
}
