// Makes the one file that is shipped. React's development reconciler leaks, hence "production".
import { chmodSync } from "node:fs";
import { build } from "esbuild";

const nothing = {
  name: "no-devtools",
  setup(bundler) {
    bundler.onResolve({ filter: /^react-devtools-core$/ }, (args) => ({
      path: args.path,
      namespace: "nothing",
    }));
    bundler.onLoad({ filter: /.*/, namespace: "nothing" }, () => ({
      contents: "export default {};",
    }));
  },
};

await build({
  entryPoints: ["src/cli/main.tsx"],
  outfile: "dist/swaplap.js",
  bundle: true,
  minify: true,
  keepNames: true,
  platform: "node",
  format: "esm",
  target: "node20",
  external: ["better-sqlite3", "serialport"],
  define: { "process.env.NODE_ENV": '"production"', "process.env.DEV": '"false"' },
  banner: {
    js: [
      "#!/usr/bin/env node",
      'import { createRequire as makeRequire } from "node:module";',
      "const require = makeRequire(import.meta.url);",
    ].join("\n"),
  },
  plugins: [nothing],
  logLevel: "warning",
});
chmodSync("dist/swaplap.js", 0o755);
