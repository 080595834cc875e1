# SPDX-License-Identifier: GPL-3.0-or-later
# The mould `float` of samples/dunlin.job, reckoned by hand: every step, amount, hour and cent from the figures of the
# job, the recipes, the material files and the shop, which stand here a second time as plain numbers, by the formulas
# that docs/methods.md states. Nothing is read from the program. Prints lines of `quantity unit value`; units are m,
# kg, h, EUR and what is derived from them unless they are named.
function up(x) { return int(x) + (x - int(x) > 1e-9) }
function cent(x) { return int(x * 100 + 0.5 + 1e-9) / 100 }
function gram(x) { return up(x * 1000 - 1e-6) / 1000 }
function max(a, b) { return a > b ? a : b }
function min(a, b) { return a < b ? a : b }
function say(name, unit, value) { printf "%s %s %.12g\n", name, unit, value }

# What is bought of a material for the net amount, what is lost of it, and what that costs.
function use(step, role, net, loss, price, unit,    gross) {
    gross = net / (1 - loss)
    say("float." step "." role, unit, gross)
    say("float." step "." role "_cost", "EUR", cent(gross * price))
    material[step] += cent(gross * price)
    if (role == "resin") { resin_kg += gross }
    return gross
}

# Work of a step: labour by the productive hour, machine by its hour, overhead on labour.
function work(step, hours, rate, machine_h, machine_rate, outside,    labour, machine, over, cost) {
    labour = cent(hours / 0.80 * rate)
    machine = cent(machine_h * machine_rate)
    over = cent(labour * 0.18)
    cost = material[step] + labour + machine + cent(outside) + over
    say("float." step ".hours", "h", hours)
    say("float." step ".material_cost", "EUR", material[step])
    say("float." step ".labour_cost", "EUR", labour)
    say("float." step ".cost", "EUR", cost)
    hours_h += hours; material_eur += material[step]; labour_eur += labour; machine_eur += machine
    outside_eur += cent(outside); overhead_eur += over; cost_eur += cost
}

# Pots of a step: stated life and mass of the resin, what it takes up, what the crew works in.
function pots(step, mass, sessions, stated_h, stated_kg, rate, mix,    life_h, pot, count, each, hardener) {
    life_h = stated_h * 2 ^ (-(23 - 20) / 10)                     # the warmest day of the shop: 23 degC
    pot = stated_kg * max(0.2, min(5, (rate * 0.70 * life_h / stated_kg) ^ 0.8))
    pot = min(0.8, pot)
    count = up(mass / sessions / pot)
    each = gram(mass / sessions / count)
    hardener = int(each * mix / (1 + mix) * 1000 + 0.5) / 1000
    say("float." step ".pot", "kg", pot)
    say("float." step ".pot_filled", "kg", each)
    say("float." step ".pot_hardener", "kg", hardener)
    say("float." step ".pot_resin", "kg", each - hardener)
    say("float." step ".pot_used_in", "h", each / rate)
    say("float." step ".pot_gels_in", "h", life_h / (each / stated_kg) ^ 0.25)
    return use(step, "pots", sessions * count, 0, 23 / 50, "1")
}

# Pairs of gloves and sets of tools: one for each person and session, and one more whenever its life is over.
function worn(hours, crew, sessions, life_h) { return sessions * crew * up(hours / crew / sessions / life_h) }

# Layers of a lay-up step: cloth, resin, thickness, mass, sessions, hours, pots.
function layers(step, plies, areal, fibre, share, cloth_price, rate, extra_h, coat_kgm2, set_up_h, scuff,
        demand, layer, lay_h, in_go, sessions, hours, net, resin) {
    demand = areal * share / (1 - share)
    layer = areal / fibre + demand / 1150
    say("float." step ".demand", "kg/m2", demand)
    say("float." step ".layer", "m", layer)
    in_go = int(0.004 / layer + 1e-9)                             # thickest wet stack: 4 mm
    lay_h = plies * laid * rate + extra_h
    sessions = max(1, max(up(plies / in_go), up(lay_h / 2 / 0.80 / 6.5)))
    hours = lay_h + sessions * (set_up_h + scuff * laid)
    say("float." step ".in_one_go", "1", in_go)
    say("float." step ".sessions", "1", sessions)
    net = plies * cloth_m2 * demand + laid * coat_kgm2
    use(step, "cloth", plies * cloth_m2, 0.12, cloth_price, "m2")
    resin = use(step, "resin", net, 0.08, 88 / 6.5, "kg")
    use(step, "gloves", worn(hours, 2, sessions, 1.5), 0, 12 / 50, "1")
    pots(step, resin, sessions, 1.5, 0.5, demand * 2 * 0.80 / rate, 0.30)
    thick[step] = plies * layer + coat_kgm2 / 1150
    mass[step] = plies * cloth_m2 * (areal + demand) + laid * coat_kgm2
    return hours
}

BEGIN {
    area = 3.1; edge = 8.6; long = 3.9; wide = 0.5; deep = 0.4; frame = 9; gloss = 3     # the job
    plug = area + edge * 0.030; laid = area + edge * 0.120; cloth_m2 = laid * 1.06       # 6 % overlap
    say("float.plug_area", "m2", plug)
    say("float.laid_area", "m2", laid)

    # --- plug
    work("design", 4 + 0.25 * edge, 56, 0, 0, 0)
    work("toolpaths", 1.5 + 0.4 * plug, 56, 0, 0, 0)

    bl = long + 2 * 0.015; bw = wide + 2 * 0.015; bh = deep + 0.015                      # 15 mm allowance
    volume = bl * bw * bh * 0.65
    rows = up(bl / 1.5) * up(bw / 0.5); turned = up(bl / 0.5) * up(bw / 1.5)
    along = up(bl / 1.5); across = up(bw / 0.5)
    if (turned < rows) { rows = turned; along = up(bl / 0.5); across = up(bw / 1.5) }
    thick_layers = up(bh / 0.100)
    boards = up(thick_layers * rows * 0.65)
    say("float.block_volume", "m3", volume)
    say("float.block.boards", "1", boards)
    joints = (thick_layers - 1) * bl * bw + thick_layers * 0.1 * ((along - 1) * bw + (across - 1) * bl)
    use("block", "board", volume * 1000, 1 - volume * 1000 / (boards * 75), 29 / 75, "L")
    use("block", "glue", joints * 0.65 * 0.30, 0.10, 42 / 3, "kg")
    work("block", 1.5 + 4 * volume, 44, 0, 0, 0)

    set_ups = up(bl / 3.2)                                                                # travel of the mill: 3.2 m
    row = min(long, 3.2)
    handling = set_ups * 45 / 60 + set_ups * 2 * 3 / 60 + set_ups * 6 * 1 / 60
    roughing = volume * 1000 * 0.35 / 120 / 0.85
    finish = (plug / (0.003 * 6 * 60) + up(plug / (0.003 * row)) * 1.5 / 3600 + set_ups * 20 / 3600) * 1.2
    milling = handling + roughing + finish
    say("float.milling.machine_hours", "h", milling)
    work("milling", set_ups * 1 + 0.3 * milling, 50, milling, 38, 0)

    demand = 0.200 * 0.5 / 0.5; layer = 0.200 / 2550 + demand / 1150
    skin = 2 * layer; lay_h = 2 * plug * 0.25
    sessions = max(1, max(up(2 / int(0.004 / layer)), up(lay_h / 2 / 0.80 / 6.5)))
    hours = lay_h + sessions
    use("skin", "cloth", 2 * plug * 1.06, 0.12, 205 / 50, "m2")
    resin = use("skin", "resin", 2 * plug * 1.06 * demand, 0.08, 88 / 6.5, "kg")
    use("skin", "gloves", worn(hours, 2, sessions, 1.5), 0, 12 / 50, "1")
    pots("skin", resin, sessions, 1.5, 0.5, demand * 2 * 0.80 / 0.25, 0.30)
    work("skin", hours, 42, 0, 0, 0)

    undersize = skin + 0.0015; sprayed = undersize - skin + 0.001                         # 1.5 mm stay, 1 mm is cut
    passes = max(1, up(sprayed / 0.004))
    say("float.milling.undersize", "m", undersize)
    say("float.surfacing.sprayed", "m", sprayed)
    say("float.machining.left", "m", sprayed - 0.001)
    use("surfacing", "putty", plug * sprayed * 1400, 1 - 0.78, 205 / 20, "kg")
    work("surfacing", 1 + passes * (0.5 + 0.15 * plug), 44, 0, 0, 0)

    cut = set_ups * 40 / 60 + set_ups * 3 / 60 + set_ups * 10 / 60
    cut += (plug / (0.0015 * 3.5 * 60) + up(plug / (0.0015 * row)) * 1.5 / 3600 + set_ups * 20 / 3600) * 1.2
    say("float.machining.machine_hours", "h", cut)
    work("machining", set_ups * 1 + 0.2 * cut, 50, cut, 38, 0)

    use("sanding", "putty", plug * 0.05, 0.15, 44 / 2, "kg")
    use("sanding", "abrasive", plug * 6, 0, 42 / 100, "1")
    work("sanding", plug * (1.75 + 1.25 * gloss), 44, 0, 0, 0)
    use("sealing", "sealer", 2 * plug * 0.08, 0.15, 27 / 1, "kg")
    use("sealing", "polish", plug * 0.05, 0.10, 26 / 1, "kg")
    work("sealing", 1 + 2 * 0.15 * plug, 44, 0, 0, 0)
    work("measuring", 1 + 0.2 * plug, 56, 0, 0, 0)
    use("release", "wax", 6 * plug * 0.015, 0.10, 17 / 0.4, "kg")
    work("release", 6 * 0.11 * plug, 42, 0, 0, 0)

    # --- mould
    use("flange", "board", edge * (0.120 + 0.050), 0.15, 34 / 3.1, "m2")
    use("flange", "tape", 2 * edge, 0.10, 6 / 50, "m")
    use("flange", "fillet", edge * 0.06, 0.10, 22 / 1, "kg")
    use("flange", "wax", 4 * edge * 0.120 * 0.015, 0.10, 17 / 0.4, "kg")
    work("flange", edge * 0.75, 44, 0, 0, 0)

    coat_h = laid * 0.15; sessions = 2 * up(coat_h / 2 / 0.80 / 6.5); hours = 2 * (coat_h + 0.5)
    coat = use("coats", "coat", 2 * laid * 0.00045 * 1400, 0.10, 115 / 5, "kg")
    use("coats", "tools", worn(hours, 2, sessions, 10), 0, 45 / 10, "1")
    use("coats", "gloves", worn(hours, 2, sessions, 1.5), 0, 12 / 50, "1")
    pots("coats", coat, sessions, 0.5, 0.5, 0.00045 * 1400 * 2 * 0.80 / 0.15, 0.14)
    say("float.coats.sessions", "1", sessions)
    work("coats", hours, 42, 0, 0, 0)
    thick["coats"] = 2 * 0.00045; mass["coats"] = 2 * laid * 0.00045 * 1400

    hours = layers("glass", 1, 0.200, 2550, 0.50, 205 / 50, 0.40, edge * 0.04, 0.080, 0.75, 0)
    use("glass", "paste", edge * 0.08, 0.15, 46 / 2, "kg")
    use("glass", "tools", worn(hours, 2, 1, 10), 0, 45 / 10, "1")
    mass["glass"] += edge * 0.08
    work("glass", hours, 42, 0, 0, 0)

    hours = layers("light", 2, 0.200, 1780, 0.50, 935 / 50, 0.25, 0, 0, 0.5, 0)
    use("light", "cleaner", 0.5, 0, 24 / 5, "L")
    work("light", hours, 42, 0, 0, 0)

    hours = layers("heavy", 4, 0.600, 1780, 0.48, 1320 / 63.5, 0.35, 0, 0, 1.25, 0.12)
    use("heavy", "abrasive", laid, 0, 42 / 100, "1")
    use("heavy", "tools", worn(hours, 2, 1, 10), 0, 45 / 10, "1")
    use("heavy", "cleaner", 0.5, 0, 24 / 5, "L")
    work("heavy", hours, 42, 0, 0, 0)

    hours = layers("closing", 1, 0.300, 2550, 0.50, 275 / 63.5, 0.25, 0, 0, 0, 0)
    work("closing", hours, 42, 0, 0, 0)

    use("inserts", "insert", 6, 0, 34 / 10, "1")
    use("inserts", "paste", 6 * 0.05, 0.15, 46 / 2, "kg")
    use("inserts", "cloth", 6 * 0.08, 0.12, 275 / 63.5, "m2")
    work("inserts", 6 * 0.5, 42, 0, 0, 0)
    mass["inserts"] = 6 * (0.060 + 0.1)
    use("frame", "tube", frame, 0.08, 33 / 6, "m")
    work("frame", frame * 0.6, 44, 0, 0, 0)
    mass["frame"] = frame * 2.39
    use("demould", "gloves", 1, 0, 33 / 12, "1")
    use("demould", "abrasive", edge, 0, 42 / 100, "1")
    work("demould", 0.5 * area + 0.4 * edge, 42, 0, 0, volume * 60)
    use("finishing", "abrasive", area * 3, 0, 29 / 50, "1")
    use("finishing", "polish", laid * 0.05, 0.10, 26 / 1, "kg")
    use("finishing", "sealer", 2 * laid * 0.02, 0.10, 38 / 0.8, "kg")
    use("finishing", "wax", 4 * laid * 0.015, 0.10, 17 / 0.4, "kg")
    work("finishing", area * (1.2 + 0.5) + 2, 44, 0, 0, 0)

    # --- the whole
    for (step in thick) { thickness += thick[step] }
    for (step in mass) { mass_kg += mass[step] }
    say("float.thickness", "m", thickness)
    say("float.mass", "kg", mass_kg)
    say("float.resin", "kg", resin_kg)
    say("float.demould.hands", "1", up(mass_kg / 20))
    say("float.hours", "h", hours_h)
    say("float.material_cost", "EUR", material_eur)
    say("float.labour_cost", "EUR", labour_eur)
    say("float.machine_cost", "EUR", machine_eur)
    say("float.outside_posted", "EUR", outside_eur)
    say("float.overhead_cost", "EUR", overhead_eur)
    say("float.cost", "EUR", cost_eur)
    margin = cent(cost_eur * 0.15 / 0.85)
    say("float.price", "EUR", cost_eur + margin)
}
