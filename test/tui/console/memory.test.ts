// What a long day must not leave behind, in the mode in which the program is shipped.
import { execFile } from "node:child_process";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";
import { expect, it } from "vitest";

const program = fileURLToPath(new URL("thousand-updates.tsx", import.meta.url));

it("leaves no performance entries after a thousand updates in production mode", async () => {
  const { stdout } = await promisify(execFile)(process.execPath, ["--import", "tsx", program], {
    env: { ...process.env, NODE_ENV: "production" },
  });
  const found = JSON.parse(stdout) as { measures: number; frames: number; clock: string };
  expect(found.measures).toBe(0);
  expect(found.frames).toBeGreaterThan(1000);
  expect(found.clock).toContain("08:41:40");
});
