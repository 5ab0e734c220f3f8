// What README.md and DEVELOPERS.md show must be what the program does.
import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { bodies } from "../src/journal/content.ts";
import { helpSections } from "../src/tui/keys/key-help.ts";

const readme = readFileSync("README.md", "utf8");

it("shows the console as the golden frame has it", () => {
  const frame = readFileSync("test/golden/console-80x24.txt", "utf8").trimEnd();
  expect(readme).toContain(`\`\`\`text\n${frame}\n\`\`\``);
});

it("lists every key of the help screen", () => {
  const rows = helpSections().flatMap((section) => [
    `**${section.group}**`,
    "",
    "| key | does |",
    "| --- | --- |",
    ...section.rows.map((row) => `| ${row.keys} | ${row.help} |`),
    "",
  ]);
  expect(readme).toContain(rows.join("\n").trimEnd());
});

it("gives the two commands that do all the set-up", () => {
  const { scripts } = JSON.parse(readFileSync("package.json", "utf8")) as {
    scripts: Record<string, string>;
  };
  expect(readme).toMatch(/^npm ci && npm start /m);
  expect(readme).toMatch(/^npm ci && npm test /m);
  expect(Object.keys(scripts)).toEqual(expect.arrayContaining(["start", "test"]));
});

it("documents an entry of the journal that there is", () => {
  const developers = readFileSync("DEVELOPERS.md", "utf8");
  expect(developers).toContain("| run-marked |");
  expect(
    bodies["run-marked"].safeParse({
      run: "38",
      mark: "void",
      sectors: [],
      reason: "walker on the line",
    }).success,
  ).toBe(true);
});
