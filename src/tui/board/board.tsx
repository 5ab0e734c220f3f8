// The rider's board as one Ink tree: read from two metres in five seconds; mounted by run-board.tsx.
import { Box, Text } from "ink";
import { type ReactElement, useSyncExternalStore } from "react";
import { Lines } from "../lines.tsx";
import { type Look, lookOf } from "../look.ts";
import type { ThemeName } from "../present/theme.ts";
import type { Size } from "../screen/screen.ts";
import {
  type BoardShot,
  boardHeader,
  boardNext,
  boardReason,
  boardStanding,
  boardTime,
  NEXT_COLUMNS,
  TOP_ROWS,
} from "./board-lines.ts";

export interface BoardProps {
  readonly subscribe: (listener: () => void) => () => void;
  readonly snapshot: () => BoardShot;
  readonly theme: ThemeName;
  readonly isAscii: boolean;
  readonly size: () => Size;
  readonly subscribeSize: (listener: () => void) => () => void;
}

const SMALLEST: Size = { columns: 76, rows: 18 };
/** Header (2), a blank row above and below the upper half, the reason. */
const OTHER_ROWS = 5;

export function Board(props: BoardProps): ReactElement {
  const shot = useSyncExternalStore(props.subscribe, props.snapshot);
  const size = useSyncExternalStore(props.subscribeSize, props.size);
  const { columns: width, rows } = size;
  if (width < SMALLEST.columns || rows < SMALLEST.rows) {
    const needed = `needs ${String(SMALLEST.columns)}x${String(SMALLEST.rows)}`;
    return <Text>{`${needed}, is ${String(width)}x${String(rows)}`.slice(0, width)}</Text>;
  }
  const look = lookOf(props.theme, props.isAscii);
  const standingRows = rows - TOP_ROWS - OTHER_ROWS;
  const { ellipsis } = look.glyphs;
  return (
    <Box width={width} height={rows} flexDirection="column">
      <Lines lines={boardHeader(shot, width, look)} width={width} height={3} ellipsis={ellipsis} />
      <Top shot={shot} width={width} look={look} />
      <Lines
        lines={[[], ...boardStanding(shot, width, standingRows, look)]}
        width={width}
        height={standingRows + 1}
        ellipsis={ellipsis}
      />
      <Lines lines={[boardReason(shot)]} width={width} height={1} ellipsis={ellipsis} />
    </Box>
  );
}

interface TopProps {
  readonly shot: BoardShot;
  readonly width: number;
  readonly look: Look;
}

/** The last time and, beside it, what goes on the bike next. */
function Top({ shot, width, look }: TopProps): ReactElement {
  const timeWidth = width - NEXT_COLUMNS - 3;
  const { ellipsis } = look.glyphs;
  return (
    <Box height={TOP_ROWS} flexShrink={0} columnGap={3}>
      <Lines
        lines={boardTime(shot, timeWidth, look)}
        width={timeWidth}
        height={TOP_ROWS}
        ellipsis={ellipsis}
      />
      <Lines
        lines={boardNext(shot, NEXT_COLUMNS, look)}
        width={NEXT_COLUMNS}
        height={TOP_ROWS}
        ellipsis={ellipsis}
      />
    </Box>
  );
}
