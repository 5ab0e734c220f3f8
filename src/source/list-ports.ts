// The serial ports of this laptop, by names that stay the same when a cable is put back in; called
// by the ports command and for the message about a missing port.
import { readdirSync, realpathSync } from "node:fs";
import { join } from "node:path";
import { SerialPort } from "serialport";

/** One serial port. */
export interface PortInfo {
  /** What to open: a name under by-id if there is one, since the number changes on replug. */
  readonly path: string;
  /** The device itself: /dev/ttyUSB0. */
  readonly device: string;
  readonly maker: string | null;
}

const ADAPTER = /^tty(?:USB|ACM)\d+$/;

/** A folder that is not there has no names in it. */
function namesIn(folder: string): readonly string[] {
  try {
    return readdirSync(folder);
  } catch (error) {
    if (error instanceof Error && "code" in error && error.code === "ENOENT") return [];
    throw error;
  }
}

/**
 * Ports found in the device folder alone: adapters, and names under by-id.
 *
 * @param dev - the device folder
 */
export function portsInFolder(dev = "/dev"): readonly PortInfo[] {
  const byId = join(dev, "serial", "by-id");
  const stable = new Map(namesIn(byId).map((name) => [realpathSync(join(byId, name)), name]));
  const adapters = namesIn(dev).filter((name) => ADAPTER.test(name));
  const devices = new Set([...stable.keys(), ...adapters.map((name) => join(dev, name))]);
  return stableFirst(
    [...devices].sort().map((device) => {
      const name = stable.get(device);
      return { path: name === undefined ? device : join(byId, name), device, maker: null };
    }),
  );
}

/** Names that stay the same when the cable is put back in, then the others. */
function stableFirst(ports: readonly PortInfo[]): readonly PortInfo[] {
  const rank = ({ path, device }: PortInfo) => (path === device ? 1 : 0);
  return ports.toSorted((a, b) => rank(a) - rank(b));
}

/** Serial ports that a box may be on; without udev, what the device folder shows. */
export async function listPorts(): Promise<readonly PortInfo[]> {
  const here = portsInFolder();
  let found: Awaited<ReturnType<typeof SerialPort.list>>;
  try {
    found = await SerialPort.list();
  } catch (error) {
    // No udevadm on this laptop.
    if (error instanceof Error && /ENOENT/.test(error.message)) return here;
    throw error;
  }
  const known = new Map(here.map((port) => [port.device, port]));
  for (const { path: device, manufacturer, vendorId } of found) {
    const port = known.get(device);
    if (port === undefined && vendorId === undefined) continue;
    known.set(device, { path: port?.path ?? device, device, maker: manufacturer ?? null });
  }
  return stableFirst([...known.values()]);
}
