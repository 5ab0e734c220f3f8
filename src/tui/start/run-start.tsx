// Runs the start menu in a terminal until something was chosen; called by the cli without a session.
import { Text } from "ink";
import { type ReactElement, useSyncExternalStore } from "react";
import { Lines } from "../lines.tsx";
import { lookOf } from "../look.ts";
import type { ThemeName } from "../present/theme.ts";
import { openScreen, type Terminal } from "../run-screen.tsx";
import type { Size } from "../screen/screen.ts";
import { startLines } from "./start-lines.ts";
import {
  firstStart,
  type StartChoice,
  type StartState,
  type StartWorld,
  startKey,
} from "./start-menu.ts";

export interface StartOptions {
  readonly terminal: Terminal;
  readonly world: StartWorld;
  readonly theme: ThemeName;
  readonly isAscii: boolean;
}

const SMALLEST: Size = { columns: 60, rows: 16 };

interface StartProps {
  readonly subscribe: (listener: () => void) => () => void;
  readonly snapshot: () => StartState;
  readonly size: () => Size;
  readonly subscribeSize: (listener: () => void) => () => void;
  readonly options: Pick<StartOptions, "world" | "theme" | "isAscii">;
}

export function Start(props: StartProps): ReactElement {
  const state = useSyncExternalStore(props.subscribe, props.snapshot);
  const { columns, rows } = useSyncExternalStore(props.subscribeSize, props.size);
  if (columns < SMALLEST.columns || rows < SMALLEST.rows) {
    const needed = `needs ${String(SMALLEST.columns)}x${String(SMALLEST.rows)}`;
    return <Text>{`${needed}, is ${String(columns)}x${String(rows)}`.slice(0, columns)}</Text>;
  }
  const look = lookOf(props.options.theme, props.options.isAscii);
  const lines = startLines(state, props.options.world, columns, rows, look);
  return <Lines lines={lines} width={columns} height={rows} ellipsis={look.glyphs.ellipsis} />;
}

/** Resolves with the choice once the terminal is as it was. */
export function runStart(options: StartOptions): Promise<StartChoice> {
  const listeners = new Set<() => void>();
  let state: StartState = firstStart;
  return new Promise((resolve) => {
    const open = openScreen(
      options.terminal,
      options.theme,
      (screen) => (
        <Start
          subscribe={(listener) => {
            listeners.add(listener);
            return () => {
              listeners.delete(listener);
            };
          }}
          snapshot={() => state}
          size={screen.size}
          subscribeSize={screen.subscribeSize}
          options={options}
        />
      ),
      (key) => {
        const step = startKey(state, key, options.world);
        if (step.choice === null) {
          state = step.state;
          for (const listener of [...listeners]) listener();
          return;
        }
        open.close();
        resolve(step.choice);
      },
    );
  });
}
