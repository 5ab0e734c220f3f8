// Waits until somebody ends a command that runs on: Ctrl-C, a closed terminal, a shutdown.

/** @returns the exit code: 0 for Ctrl-C, which is how such a command ends well; else 128 + signal */
export function untilSignal(): Promise<number> {
  return new Promise((resolve) => {
    // The event loop stays alive on this timer alone, whatever else comes and goes.
    const alive = setInterval(() => undefined, 60_000);
    const end = (code: number) => () => {
      clearInterval(alive);
      resolve(code);
    };
    process.once("SIGINT", end(0));
    process.once("SIGTERM", end(143));
    process.once("SIGHUP", end(129));
  });
}
