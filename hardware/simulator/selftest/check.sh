# What the program of the check said: $1, lines of TRUE_US and text. Says what is wrong.
awk '
function near(what, got, wanted, by) {
	if (got < wanted - by || got > wanted + by) { print "FAILED: " what " " got ", not " wanted; bad = 1 }
}
function want(text, n) { if (said[text] != n) { print "FAILED: " n " times \"" text "\", not " said[text] + 0; bad = 1 } }
{ text = $2 " " $3 + 0; said[text]++; order = order " " text }
$2 == "beam" && !is_again { edges++; stamp[edges] = $4; at[edges] = $1 }
$2 == "boot" { boots++; boot[boots] = $3 + 0; if (boots == 2) { is_again = 1; near("restart at", $1, 100000, 1000) } }
END {
	if (boots != 2 || boot[2] != (boot[1] + 1) % 256) { print "FAILED: boots " boot[1] " and " boot[2]; bad = 1 }
	if (edges != 4) { print "FAILED: edges before the reset: " edges; bad = 1 }
	# Ticks of 0.5 us, wrapping at 65536.
	near("first block, ticks", (stamp[2] - stamp[1] + 65536) % 65536, 8000, 1)
	near("hole, ticks", (stamp[3] - stamp[2] + 65536) % 65536, 8000, 1)
	near("second block, ticks", (stamp[4] - stamp[3] + 65536) % 65536, 20000, 1)
	want("beam 1", 3); want("beam 0", 2)
	want("button 1", 2); want("button 0", 1)
	want("got 111", 1); want("got 107", 1); want("got 10", 1)	# o, k, line feed
	if (said["read 0"] < 1 || said["read 0"] != said["read 1"]) { print "FAILED: reader"; bad = 1 }
	if (!bad) print "the simulated board does what it is told"
	exit bad
}' "$1"
