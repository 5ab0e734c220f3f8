# A program in a pseudo-terminal of its own; every piece of its output with the instant it was read,
# in microseconds of the laptop's monotonic clock. Standard input: keys in hex, a line each; its end
# ends the program.
#   began T0 PID, out T HEX, exit T
import fcntl, os, pty, select, signal, struct, sys, termios, time

columns, rows, program = int(sys.argv[1]), int(sys.argv[2]), sys.argv[3:]


def now_us():
    return time.monotonic_ns() // 1000


def tell(text):
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


began = now_us()
pid, master = pty.fork()
if pid == 0:
    fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
    os.environ["TERM"] = "xterm-256color"
    os.execvp(program[0], program)
tell("began %d %d" % (began, pid))
commands = b""
inputs = [0, master]
while True:
    readable, _, _ = select.select(inputs, [], [])
    if master in readable:
        try:
            chunk = os.read(master, 65536)
        except OSError:
            chunk = b""
        if not chunk:
            break
        tell("out %d %s" % (now_us(), chunk.hex()))
    if 0 in readable:
        chunk = os.read(0, 65536)
        if not chunk:
            inputs.remove(0)
            os.kill(pid, signal.SIGTERM)
        commands += chunk
        while b"\n" in commands:
            keys, commands = commands.split(b"\n", 1)
            os.write(master, bytes.fromhex(keys.decode()))
os.waitpid(pid, 0)
tell("exit %d" % now_us())
