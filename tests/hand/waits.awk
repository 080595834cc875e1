# SPDX-License-Identifier: GPL-3.0-or-later
# Reads the sessions of the mould `float` as `mouldwright --json samples/dunlin.job -e "calendar float"` gives them, and
# reckons by hand when each wait is over: minute by minute through days of 19 degC from 07:00 to 17:00 and nights of
# 12 degC, which the job heats by 4 K. The laminating resin cures by Arrhenius' law, by the line through its three
# points; what has no points doubles per 10 K; release runs on the clock. Prints what is off by more than two minutes.
function rate(clock_h, law,    at) {
    at = 273.15 + (clock_h >= 7 && clock_h < 17 ? 19 : 12 + 4)
    if (law == "clock") { return 1 }
    return law == "points" ? exp(energy / 8.314462618 * (1 / 293.15 - 1 / at)) : 2 ^ ((at - 293.15) / 10)
}
# Minutes on the clock until so many hours at 20 degC have run off.
function lasts(from_min, amount_h, law,    left, now) {
    left = amount_h * 60
    for (now = from_min; left > 1e-9; now++) { left -= rate((now % 1440) / 60, law) }
    return now - from_min
}
# Minutes since the first of January 2027, of `2027-02-08T08:58:30`; a day begins at midnight.
function minutes(text,    part, days, i) {
    split(text, part, /[-T:]/)
    split("0 31 59 90 120 151 181 212 243 273 304 334", days, " ")
    return (days[part[2] + 0] + part[3] - 1) * 1440 + part[4] * 60 + part[5] + part[6] / 60
}
function field(text, name) {
    if (!match(text, "\"" name "\": (\\{\"date\": )?\"[^\"]*\"")) { return "" }
    text = substr(text, RSTART, RLENGTH)
    gsub(/.*: "|"$/, "", text)
    return text
}
BEGIN {
    # ln t = c + E/R 1/T through 11 h at 10, 5 h at 20, 2.4 h at 30 degC
    n = split("10 11 20 5 30 2.4", point, " ") / 2
    for (i = 1; i <= n; i++) {
        x = 1 / (273.15 + point[2 * i - 1]); y = log(point[2 * i])
        sx += x; sy += y; sxx += x * x; sxy += x * y
    }
    energy = 8.314462618 * (n * sxy - sx * sy) / (n * sxx - sx * sx)
    split("block 12 double,skin 10 points,surfacing 20 double,sealing 12 double,release 10 clock," \
          "coats 0.8333333333 double,light 10 points,closing 10 points,cure 36 points", rows, ",")
    for (i in rows) { split(rows[i], part, " "); amount[part[1]] = part[2]; law[part[1]] = part[3] }
    # the same between two coats of a step
    split("sealing 2 double,release 0.75 clock,coats 0.8333333333 double", rows_between, ",")
    for (i in rows_between) { split(rows_between[i], part, " "); between[part[1]] = part[2] }
}
{
    count = split($0, session, /\{"week":/)
    for (i = 2; i <= count; i++) {
        step = field(session[i], "step")
        match(session[i], /"number": \{"value": [0-9]+/); number = substr(session[i], RSTART + 20, RLENGTH - 20)
        match(session[i], /"of": \{"value": [0-9]+/); of = substr(session[i], RSTART + 16, RLENGTH - 16)
        end = minutes(field(session[i], "end"))
        waits = minutes(field(session[i], "waits_until")) - end
        want = number < of && step in between ? lasts(end, between[step], law[step]) : 0
        if (step in amount && number == of) {
            want = lasts(end, amount[step], law[step])
            held++
        }
        seen++
        if (waits - want > 2 || want - waits > 2) {
            printf "hand: %s waits %.0f min, by hand %.0f min\n", step, waits, want
            wrong = 1
        }
    }
}
END {
    if (seen == 0 || held != 9) { print "hand: only " held + 0 " of the 9 waits found"; wrong = 1 }
    exit wrong
}
