// Draws lines in a box of fixed size; the one component that every screen is made of.
import { Box, Text } from "ink";
import type { ReactElement } from "react";
import { cutLine, type Line } from "./line.ts";

export interface LinesProps {
  readonly lines: readonly Line[];
  readonly width: number;
  readonly height: number;
  readonly ellipsis: string;
}

/** A column of rows, cut to its width and height before Ink sees them: Ink pays for every character. */
export function Lines({ lines, width, height, ellipsis }: LinesProps): ReactElement {
  const shown = lines.slice(0, Math.max(0, height));
  return (
    <Box width={width} height={height} flexDirection="column" flexShrink={0}>
      {shown.map((row, i) => (
        <Row key={i} row={cutLine(row, width, ellipsis)} />
      ))}
    </Box>
  );
}

function Row({ row }: { readonly row: Line }): ReactElement {
  const isBlank = row.every((span) => span.text === "");
  if (isBlank) return <Text> </Text>;
  return (
    <Text>
      {row.map((span, i) => (
        <Text
          key={i}
          bold={span.isBold ?? false}
          dimColor={span.isDim ?? false}
          {...(span.colour === undefined ? {} : { color: span.colour })}
        >
          {span.text}
        </Text>
      ))}
    </Text>
  );
}
