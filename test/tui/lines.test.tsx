// The one component of every screen, drawn by Ink alone.
import { Text } from "ink";
import { render } from "ink-testing-library";
import { describe, expect, it } from "vitest";
import { line } from "../../src/tui/line.ts";
import { Lines } from "../../src/tui/lines.tsx";

describe("Lines", () => {
  it("cuts rows to the width and leaves rows beyond the height out", () => {
    const lines = [line("time on the stretch"), line("ab"), line("never seen")];
    const { lastFrame } = render(<Lines lines={lines} width={8} height={2} ellipsis="…" />);
    expect(lastFrame()).toBe("time on…\nab");
  });

  it("keeps its place when a row is blank or missing", () => {
    const { lastFrame, rerender } = render(
      <Lines lines={[line("a"), line(""), line("b")]} width={4} height={3} ellipsis="…" />,
    );
    expect(
      lastFrame()
        ?.split("\n")
        .map((row) => row.trimEnd()),
    ).toEqual(["a", "", "b"]);
    rerender(
      <>
        <Lines lines={[line("a")]} width={4} height={3} ellipsis="…" />
        <Text>below</Text>
      </>,
    );
    expect(lastFrame()?.split("\n").at(-1)).toBe("below");
    expect(lastFrame()?.split("\n")).toHaveLength(4);
  });

  it("draws names with wide characters no wider than it may", () => {
    const { lastFrame } = render(
      <Lines lines={[line("道道道道道")]} width={6} height={1} ellipsis="…" />,
    );
    expect(lastFrame()).toBe("道道…");
  });
});
