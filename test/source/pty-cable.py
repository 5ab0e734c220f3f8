# A box's end of a serial cable: a pseudo-terminal behind a link, driven by lines on standard input.
#   plug        a new pseudo-terminal appears at the link      -> plugged
#   unplug      it goes away, as a pulled cable does           -> unplugged
#   send HEX    bytes towards the laptop                       -> sent
#   hold, free  the box stops reading, and goes on             -> held, freed
# What the laptop writes is told as: got HEX
import os, select, sys, tty

link = sys.argv[1]
master = slave = None
is_held = False


def tell(text):
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def unplug():
    global master, slave
    if os.path.islink(link):
        os.unlink(link)
    for fd in (master, slave):
        if fd is not None:
            os.close(fd)
    master = slave = None


def plug():
    global master, slave
    master, slave = os.openpty()
    tty.setraw(slave)
    os.symlink(os.ttyname(slave), link)


pending = b""
while True:
    readable, _, _ = select.select([0] if master is None or is_held else [0, master], [], [])
    if master is not None and master in readable:
        tell("got " + os.read(master, 4096).hex())
    if 0 not in readable:
        continue
    chunk = os.read(0, 65536)
    if not chunk:
        unplug()
        break
    pending += chunk
    while b"\n" in pending:
        line, pending = pending.split(b"\n", 1)
        words = line.decode().split()
        if words[0] == "plug":
            plug()
            tell("plugged")
        elif words[0] == "unplug":
            unplug()
            tell("unplugged")
        elif words[0] == "hold":
            is_held = True
            tell("held")
        elif words[0] == "free":
            is_held = False
            tell("freed")
        elif words[0] == "send":
            os.write(master, bytes.fromhex(words[1]))
            tell("sent")
