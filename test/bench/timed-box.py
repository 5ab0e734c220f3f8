# Boxes at the other end of a serial cable: a pseudo-terminal behind a link, with the laptop's own
# monotonic clock, microseconds, beside everything. Clock questions are answered, as boxes do.
#   plug                   the port appears at the link                      -> plugged
#   say HEX                bytes towards the laptop                          -> said T0
#   wait TEXT LIMIT        for what the laptop has said or will say          -> until T0 T1 | in-vain
#   until HEX TEXT LIMIT   says the bytes, waits for TEXT from the laptop    -> until T0 T1 | in-vain
# T0 is taken before the first byte is written, T1 when the text was read; LIMIT is in seconds.
import binascii, os, select, sys, time, tty

link, ahead_us, boot = sys.argv[1], int(sys.argv[2]), sys.argv[3]
master, slave = os.openpty()
tty.setraw(slave)
os.set_blocking(master, False)
heard = b""
unread = b""
to_say = b""


def now_us():
    return time.monotonic_ns() // 1000


def tell(text):
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def line(content):
    return b":%s*%04X\n" % (content, binascii.crc_hqx(content, 0xFFFF))


def answer(asked, at):
    global to_say
    fields = asked[1:].split(b"*")[0].split(b",")
    if fields[0] != b"1Q":
        return
    box, token, t1 = fields[1:4]
    t2 = b"%015d" % (at + ahead_us)
    t3 = b"%015d" % (now_us() + ahead_us)
    to_say += line(b",".join([b"1R", box, boot.encode(), token, t1, t2, t3]))


def turn(wait):
    """Says what can be said, reads what there is. Returns a line of standard input, if any."""
    global heard, unread, to_say, commands
    readable, writable, _ = select.select(
        [0, master], [master] if to_say else [], [], 0 if b"\n" in commands else wait
    )
    if writable:
        try:
            to_say = to_say[os.write(master, to_say[:4096]) :]
        except BlockingIOError:
            pass
    if master in readable:
        at = now_us()
        chunk = os.read(master, 65536)
        heard = (heard + chunk)[-65536:]
        unread += chunk
        while b"\n" in unread:
            asked, unread = unread.split(b"\n", 1)
            answer(asked, at)
    if 0 in readable:
        chunk = os.read(0, 1 << 20)
        if not chunk:
            if os.path.islink(link):
                os.unlink(link)
            sys.exit(0)
        commands += chunk


commands = b""
while True:
    turn(1)
    if b"\n" not in commands:
        continue
    command, commands = commands.split(b"\n", 1)
    words = command.decode().split()
    if words[0] == "plug":
        os.symlink(os.ttyname(slave), link)
        tell("plugged")
    elif words[0] == "say":
        to_say += bytes.fromhex(words[1])
        began = now_us()
        while to_say:
            turn(1)
        tell("said %d" % began)
    elif words[0] in ("until", "wait"):
        if words[0] == "until":
            heard = b""
            to_say += bytes.fromhex(words.pop(1))
        began = now_us()
        ends = began + float(words[2]) * 1e6
        wanted = words[1].encode()
        while wanted not in heard and now_us() < ends:
            turn(0.1)
        tell("until %d %d" % (began, now_us()) if wanted in heard else "in-vain")
