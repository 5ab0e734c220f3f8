// What the tests start as a thread, in the place of the built program.
import { serveBlocks } from "../../src/calibrate/serve-blocks.ts";

serveBlocks();
