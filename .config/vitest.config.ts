import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: ["test/**/*.test.{ts,tsx}"],
    restoreMocks: true,
    testTimeout: 30_000,
    coverage: {
      provider: "v8",
      include: ["src/**"],
      thresholds: {
        "src/{domain,protocol,clock,match,stats,explore,journal,session,advisor,summary,report,sheet}/**":
          {
            branches: 95,
            lines: 95,
          },
      },
    },
  },
});
