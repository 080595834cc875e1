/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Statements: which form a line has and what its pieces are. The forms are those of docs/language.md. */
#include "lang_front.h"

static const char *const kind_words[] = {
    [MW_SAY_NOTHING] = "nothing",
    [MW_SAY_SHOW] = "show",
    [MW_SAY_SET] = "set",
    [MW_SAY_SHOP] = "shop",
    [MW_SAY_START] = "start",
    [MW_SAY_MOULD] = "mould",
    [MW_SAY_MOULDS_FROM] = "moulds-from",
    [MW_SAY_INCLUDE] = "include",
    [MW_SAY_RESTORE] = "restore",
    [MW_SAY_WHAT_IF] = "what-if",
    [MW_SAY_ALTERNATIVE] = "alternative",
    [MW_SAY_WEIGH] = "weigh",
    [MW_SAY_WHY] = "why",
    [MW_SAY_DROP] = "drop",
    [MW_SAY_COPY_MOULD] = "copy-mould",
    [MW_SAY_COPY_JOB] = "copy-job",
    [MW_SAY_NEW] = "new",
    [MW_SAY_BALLPARK] = "ballpark",
    [MW_SAY_COMMAND] = "command",
};

static void add_piece(front *f, const char *label, mw_span span)
{
    if (span.source != MW_NONE) {
        mw_text_addf(&f->out, " %s<", label);
        mw_text_add_str(&f->out, mw_sources_piece(f->sources, span));
        mw_text_addc(&f->out, '>');
    }
}

static void add_item(front *f, const mw_item *item)
{
    mw_text_adds(&f->out, item->grid ? " {by " : " {");
    mw_text_add_str(&f->out, mw_sources_piece(f->sources, item->name));
    if (item->path != MW_NONE) {
        mw_text_adds(&f->out, " = ");
        front_dump(f, item->path);
    }
    mw_text_addc(&f->out, ':');
    for (uint32_t i = 0; i < item->value_count; i++) {
        mw_text_addc(&f->out, ' ');
        front_dump(f, f->ast.links[item->first_value + i]);
    }
    add_piece(f, "", item->value);
    mw_text_addc(&f->out, '}');
}

/* Returns a statement as one line of text. */
static const char *words_of(front *f, const mw_statement *statement)
{
    mw_text_clear(&f->out);
    mw_text_adds(&f->out, kind_words[statement->kind]);
    if (statement->path != MW_NONE) {
        mw_text_adds(&f->out, " path ");
        front_dump(f, statement->path);
    }
    if (statement->formula != MW_NONE) {
        mw_text_addc(&f->out, ' ');
        front_dump(f, statement->formula);
    }
    add_piece(f, "formula", statement->formula_span);
    add_piece(f, "name", statement->name);
    add_piece(f, "rest", statement->rest);
    for (uint32_t i = 0; i < statement->item_count; i++) {
        add_item(f, &f->ast.items[statement->first_item + i]);
    }
    add_piece(f, "all", statement->span);
    return mw_text_chars(&f->out);
}

typedef struct form_row {
    const char *name;
    const char *text;
    const char *want;
} form_row;

static const form_row form_rows[] = {
    {"empty", "", "nothing all<>"},
    {"blanks", "  \t ", "nothing all<>"},
    {"comment", " # shop \"x\"", "nothing all<>"},
    /* lines and overrides */
    {"line", "rate_of_exchange = 0.92",
     "set path rate_of_exchange 0.92000000000000004 formula<0.92> "
     "all<rate_of_exchange = 0.92>"},
    {"line with blanks and comment", "  a=b+1   # more",
     "set path a (+ b 1) formula<b+1> all<a=b+1>"},
    {"override", "hull_port.heavy.plies = 6",
     "set path hull_port.heavy.plies 6 formula<6> all<hull_port.heavy.plies = 6>"},
    {"override in all moulds", "moulds.heavy.plies = 6",
     "set path moulds.heavy.plies 6 formula<6> all<moulds.heavy.plies = 6>"},
    {"override of the usual", "a.b = usual * 1.2",
     "set path a.b (* usual 1.2) formula<usual * 1.2> all<a.b = usual * 1.2>"},
    {"a comparison as a value", "a = b = c", "set path a (= b c) formula<b = c> all<a = b = c>"},
    {"a unit as a name", "h = 3 kg", "set path h 3[kg] formula<3 kg> all<h = 3 kg>"},
    {"formula in brackets over lines", "a = (1 +\n 2)",
     "set path a (+ 1 2) formula<(1 +\n 2)> all<a = (1 +\n 2)>"},
    {"text as a value", "a = \"x # y\" # z",
     "set path a \"x # y\" formula<\"x # y\"> all<a = \"x # y\">"},
    {"sign of equality with a comment behind", "a = # later\n 3",
     "set path a 3 formula<3> all<a = # later\n 3>"},
    {"names with and by", "with = by", "set path with by formula<by> all<with = by>"},
    /* beginnings */
    {"ballpark", "ballpark area 5 m2, recipe \"x\"",
     "ballpark name<ballpark> {area: 5[m2] <5 m2>} {recipe: \"x\" <\"x\">} all<ballpark area 5 m2, "
     "recipe \"x\">"},
    {"ballpark with a colon", "ballpark: area 5 m2",
     "ballpark name<ballpark> {area: 5[m2] <5 m2>} all<ballpark: area 5 m2>"},
    {"new with inputs", "new \"a.job\": area 5 m2",
     "new name<a.job> {area: 5[m2] <5 m2>} all<new \"a.job\": area 5 m2>"},
    {"new alone", "new \"a.job\"", "new name<a.job> all<new \"a.job\">"},
    {"copy of a mould", "copy mould a as b", "copy-mould name<b> rest<a> all<copy mould a as b>"},
    {"copy of a mould with an input", "copy mould a as b: area 3 m2",
     "copy-mould name<b> rest<a> {area: 3[m2] <3 m2>} all<copy mould a as b: area 3 m2>"},
    {"copy of a job", "copy job as \"b.job\": start 2027-06-07",
     "copy-job name<b.job> {start: @1812326400 <2027-06-07>} all<copy job as \"b.job\": start "
     "2027-06-07>"},
    {"ballpark as a line", "ballpark = 3", "set path ballpark 3 formula<3> all<ballpark = 3>"},
    {"new as a value", "new + 1", "show (+ new 1) formula<new + 1> all<new + 1>"},
    /* words of statements as names */
    {"report word as a line", "cost = 3 EUR",
     "set path cost 3[EUR] formula<3 EUR> all<cost = 3 EUR>"},
    {"statement word as a line", "start = 3", "set path start 3 formula<3> all<start = 3>"},
    {"what as a line", "what = 3", "set path what 3 formula<3> all<what = 3>"},
    {"free command as a line", "help = 3", "set path help 3 formula<3> all<help = 3>"},
    {"report word as a mould", "hours.heavy.plies = 3",
     "set path hours.heavy.plies 3 formula<3> all<hours.heavy.plies = 3>"},
    {"list over moulds", "moulds.area", "show moulds.area formula<moulds.area> all<moulds.area>"},
    {"report word in a sum", "cost + 3 EUR",
     "show (+ cost 3[EUR]) formula<cost + 3 EUR> "
     "all<cost + 3 EUR>"},
    {"report word in a difference", "cost - a", "show (- cost a) formula<cost - a> all<cost - a>"},
    {"report word in a power", "cost^2", "show (^ cost 2) formula<cost^2> all<cost^2>"},
    {"report word in a comparison", "cost <= a",
     "show (<= cost a) formula<cost <= a> all<cost <= a>"},
    {"report word and", "cost and a", "show (and cost a) formula<cost and a> all<cost and a>"},
    {"report word as unit", "cost as EUR",
     "show (as cost EUR) formula<cost as EUR> all<cost as EUR>"},
    {"report word in a range", "cost .. a", "show (.. cost - a) formula<cost .. a> all<cost .. a>"},
    {"report word called", "hours(2)", "show (call hours 2) formula<hours(2)> all<hours(2)>"},
    {"free command with a point", "help.x", "show help.x formula<help.x> all<help.x>"},
    {"word that only begins like one", "starting + 1",
     "show (+ starting 1) formula<starting + 1> all<starting + 1>"},
    {"what alone", "what", "show what formula<what> all<what>"},
    {"unequal behind a word", "drop <> a", "show (<> drop a) formula<drop <> a> all<drop <> a>"},
    /* showing */
    {"formula", "4 m2 + 2 ft2", "show (+ 4[m2] 2[ft2]) formula<4 m2 + 2 ft2> all<4 m2 + 2 ft2>"},
    {"name", "area", "show area formula<area> all<area>"},
    {"call", "sum(moulds.area)",
     "show (call sum moulds.area) formula<sum(moulds.area)> all<sum(moulds.area)>"},
    {"bracket first", "(a) * 2", "show (* a 2) formula<(a) * 2> all<(a) * 2>"},
    {"sign first", "-a", "show (neg a) formula<-a> all<-a>"},
    {"word of the language first", "not a = b",
     "show (not (= a b)) formula<not a = b> all<not a = b>"},
    {"if first", "if a then b else c",
     "show (if a b c) formula<if a then b else c> "
     "all<if a then b else c>"},
    {"comparison with a number first", "2 = a", "show (= 2 a) formula<2 = a> all<2 = a>"},
    /* statements */
    {"shop", "shop \"saltmarsh\" # here", "shop name<saltmarsh> all<shop \"saltmarsh\">"},
    {"start", "start 2027-01-11", "start @1799625600 formula<2027-01-11> all<start 2027-01-11>"},
    {"start by a formula", "start earliest + 3 d",
     "start (+ earliest 3[d]) formula<earliest + 3 d> all<start earliest + 3 d>"},
    {"include", "include \"b/rates.job\"",
     "include name<b/rates.job> all<include \"b/rates.job\">"},
    {"moulds from", "moulds from \"f.csv\"", "moulds-from name<f.csv> all<moulds from \"f.csv\">"},
    {"restore", "restore hull_port.heavy.plies",
     "restore path hull_port.heavy.plies all<restore hull_port.heavy.plies>"},
    {"drop", "drop mast_fairing", "drop path mast_fairing all<drop mast_fairing>"},
    {"why", "why hull_port.heavy.resin",
     "why hull_port.heavy.resin formula<hull_port.heavy.resin> all<why hull_port.heavy.resin>"},
    {"why a formula", "why a + b", "why (+ a b) formula<a + b> all<why a + b>"},
    {"why in brackets", "why (a + b)", "why (+ a b) formula<(a + b)> all<why (a + b)>"},
    {"why in brackets without blank", "why(a)", "why a formula<(a)> all<why(a)>"},
    /* moulds */
    {"mould", "mould hull_port: area 6.4 m2, edge 11.2 m, recipe \"split carbon\", count 1",
     "mould name<hull_port> {area: 6.4000000000000004[m2] <6.4 m2>} {edge: 11.199999999999999[m] "
     "<11.2 m>} {recipe: \"split carbon\" <\"split carbon\">} {count: 1 <1>} "
     "all<mould hull_port: area 6.4 m2, edge 11.2 m, recipe \"split carbon\", count 1>"},
    {"mould without inputs", "mould lid:", "mould name<lid> all<mould lid:>"},
    {"mould, blank before the colon", "mould lid : count 2",
     "mould name<lid> {count: 2 <2>} all<mould lid : count 2>"},
    {"mould after a mould", "mould b: after hull_port",
     "mould name<b> {after: hull_port <hull_port>} all<mould b: after hull_port>"},
    {"mould after a list", "mould b: after [a, c], count 2",
     "mould name<b> {after: (list a c) <[a, c]>} {count: 2 <2>} all<mould b: after [a, c], count 2>"},
    {"mould with formulas", "mould b: area f(1,5) * 2, edge if a then 1 m else 2 m",
     "mould name<b> {area: (* (call f 1 5) 2) <f(1,5) * 2>} {edge: (if a 1[m] 2[m]) "
     "<if a then 1 m else 2 m>} all<mould b: area f(1,5) * 2, edge if a then 1 m else 2 m>"},
    {"mould with a fraction", "mould b: edge 1/2 in",
     "mould name<b> {edge: 0.5[in] <1/2 in>} "
     "all<mould b: edge 1/2 in>"},
    {"mould with a range", "mould b: area 6 .. 8 m2",
     "mould name<b> {area: (.. 6[m2] - 8[m2]) <6 .. 8 m2>} all<mould b: area 6 .. 8 m2>"},
    {"mould over lines", "mould b: area 6 m2, \\\n  edge 3 m",
     "mould name<b> {area: 6[m2] <6 m2>} {edge: 3[m] <3 m>} all<mould b: area 6 m2, \\\n  edge 3 m>"},
    {"mould called from", "mould from: count 1",
     "mould name<from> {count: 1 <1>} all<mould from: count 1>"},
    {"mould without blanks", "mould b:area 6 m2,edge 3 m",
     "mould name<b> {area: 6[m2] <6 m2>} {edge: 3[m] <3 m>} all<mould b:area 6 m2,edge 3 m>"},
    /* what if */
    {"what if", "what if hull_port.heavy.plies = 2, 3, 4",
     "what-if {hull_port.heavy.plies = hull_port.heavy.plies: 2 3 4 <2, 3, 4>} "
     "all<what if hull_port.heavy.plies = 2, 3, 4>"},
    {"what if without blanks", "what if a=2,3", "what-if {a = a: 2 3 <2,3>} all<what if a=2,3>"},
    {"what if one value", "what if a = 2", "what-if {a = a: 2 <2>} all<what if a = 2>"},
    {"what if with", "what if a = 1, 2 with b = 3 kg, 4 kg",
     "what-if {a = a: 1 2 <1, 2>} {b = b: 3[kg] 4[kg] <3 kg, 4 kg>} "
     "all<what if a = 1, 2 with b = 3 kg, 4 kg>"},
    {"what if by", "what if a = 1, 2 by b.c = 3, 4 with d = 5, 6",
     "what-if {a = a: 1 2 <1, 2>} {by b.c = b.c: 3 4 <3, 4>} {d = d: 5 6 <5, 6>} "
     "all<what if a = 1, 2 by b.c = 3, 4 with d = 5, 6>"},
    {"what if values that are formulas", "what if a = b + 1, f(1, 2), [3, 4], if c then d else e",
     "what-if {a = a: (+ b 1) (call f 1 2) (list 3 4) (if c d e) <b + 1, f(1, 2), [3, 4], if c "
     "then d else e>} all<what if a = b + 1, f(1, 2), [3, 4], if c then d else e>"},
    {"what if a comparison", "what if a = b = c",
     "what-if {a = a: (= b c) <b = c>} all<what if a = b = c>"},
    {"what if names with and by", "what if with = by, with with by = 2 * by",
     "what-if {with = with: by with <by, with>} {by = by: (* 2 by) <2 * by>} "
     "all<what if with = by, with with by = 2 * by>"},
    {"what if a text", "what if a.cloth = \"light\", \"heavy\"",
     "what-if {a.cloth = a.cloth: \"light\" \"heavy\" <\"light\", \"heavy\">} "
     "all<what if a.cloth = \"light\", \"heavy\">"},
    {"what if with blanks", "what   if a = 2 # x", "what-if {a = a: 2 <2>} all<what   if a = 2>"},
    /* commands */
    {"report", "moulds", "command name<moulds> rest<> all<moulds>"},
    {"report with a comment", " hours # all", "command name<hours> rest<> all<hours>"},
    {"report of a mould", "hours hull_port # x",
     "command name<hours> rest<hull_port> all<hours hull_port>"},
    {"shop alone", "shop", "command name<shop> rest<> all<shop>"},
    {"moulds of a mould", "moulds hull_port",
     "command name<moulds> rest<hull_port> all<moulds hull_port>"},
    {"undo", "undo 3", "command name<undo> rest<3> all<undo 3>"},
    {"help", "help", "command name<help> rest<> all<help>"},
    {"help on a word", "help what if", "command name<help> rest<what if> all<help what if>"},
    {"help on a sign", "help ^", "command name<help> rest<^> all<help ^>"},
    {"help on equality", "help =", "command name<help> rest<=> all<help =>"},
    {"help on a bracket", "help (", "command name<help> rest<(> all<help (>"},
    {"help on two", "help ==", "command name<help> rest<==> all<help ==>"},
    {"free text that looks like a path", "help ../b.job # x",
     "command name<help> rest<../b.job> all<help ../b.job>"},
    {"free text in quotes", "help \"b # \\\" 2.job\" # x",
     "command name<help> rest<\"b # \\\" 2.job\"> all<help \"b # \\\" 2.job\">"},
    {"free text that looks like a division", "help /b.job",
     "command name<help> rest</b.job> all<help /b.job>"},
    {"lines of a name", "lines rate", "command name<lines> rest<rate> all<lines rate>"},
};

static void has_form(void **state)
{
    const form_row *row = *state;
    front f;
    front_open(&f, mw_str_of(row->text));
    mw_statement statement;
    mw_status status = mw_parse_statement(&f.reader, front_whole(&f), &statement);
    assert_string_equal(status == MW_OK ? words_of(&f, &statement) : front_messages(&f), row->want);
    assert_int_equal(f.diags.count, 0);
    front_close(&f);
}

static const form_row error_rows[] = {
    /* words */
    {"misspelt mould", "mold a: area 5",
     "unknown-statement 0..4 no statement begins with `mold` | mould"},
    {"misspelt restore", "restor a.b",
     "unknown-statement 0..6 no statement begins with `restor` | restore"},
    {"misspelt include", "incldue \"x\"",
     "unknown-statement 0..7 no statement begins with `incldue` | include"},
    {"misspelt report", "huors hull_port",
     "unknown-statement 0..5 no statement begins with `huors` | hours"},
    {"what if in one", "whatif a = 3",
     "unknown-statement 0..6 no statement begins with `whatif` | what if"},
    {"misspelt what", "waht if a = 3",
     "unknown-statement 0..4 no statement begins with `waht` | what if"},
    {"misspelt why, usual behind", "wyh usual",
     "unknown-statement 0..3 no statement begins with `wyh` | why"},
    {"misspelt why, not behind", "wyh not a",
     "unknown-statement 0..3 no statement begins with `wyh` | why"},
    {"misspelt why, yes behind", "wyh yes",
     "unknown-statement 0..3 no statement begins with `wyh` | why"},
    {"misspelt why, no behind", "wyh no",
     "unknown-statement 0..3 no statement begins with `wyh` | why"},
    {"then behind a name", "a then b",
     "syntax 2..6 `then` has no `if` in front | if a > b then a else b"},
    {"misspelt start", "strat 2027-01-11",
     "unknown-statement 0..5 no statement begins with `strat` | start"},
    {"nothing near", "abracadabra x",
     "unknown-statement 0..11 no statement begins with `abracadabra`"},
    {"two letters", "a b", "unknown-statement 0..1 no statement begins with `a`"},
    {"name with a blank", "wing area = 3", "syntax 0..9 a name has no blanks in it | wing_area"},
    {"name with two blanks", "the wing area = 3",
     "syntax 0..13 a name has no blanks in it | the_wing"},
    {"colon behind a name", "rate: 3", "unknown-statement 0..4 no statement begins with `rate`"},
    {"equality first", "= a + b",
     "syntax 0..1 a formula stands by itself, without `=` in front | a + b"},
    {"equality alone", "=", "syntax 0..1 a formula stands by itself, without `=` in front"},
    {"two equalities", "a == 3", "syntax 2..4 one `=` is enough | ="},
    {"colon and equality", "a := 3", "syntax 2..4 a name gets its formula by `=` | ="},
    {"equality and less", "a =< 3",
     "syntax 2..4 less or equal is written the other way round | <="},
    {"equality and greater", "a => 3",
     "syntax 2..4 greater or equal is written the other way round | >="},
    {"equality and less, then more", "a =< 3 b +",
     "syntax 2..4 less or equal is written the other way round | <=\n"
     "unknown-unit 7..8 `b` is no unit | to multiply by a name put `*` in front: * b\n"
     "syntax 9..10 a value is missing behind `+`"},
    {"nothing behind equality", "a =", "syntax 2..3 a value is missing behind `=`"},
    {"word of the language", "no = 3",
     "syntax 0..2 `no` is a word of the language and cannot be a name"},
    {"word of the language as a part", "a.then = 3",
     "syntax 2..6 `then` is a word of the language and cannot be a name"},
    {"usual defined", "usual = 3",
     "syntax 0..5 `usual` is a word of the language and cannot be a name"},
    {"number first", "3 = ", "syntax 2..3 a value is missing behind `=`"},
    {"rest behind a formula", "a + b c = 3",
     "syntax 6..7 a sign is missing between `b` and `c` | "
     "b_c if this is one name"},
    /* quotes */
    {"shop without quotes", "shop saltmarsh",
     "syntax 5..14 the shop's name stands in double quotes | shop \"saltmarsh\""},
    {"shop with a number", "shop 3",
     "syntax 5..6 the shop's name stands in double quotes | shop \"...\""},
    {"shop with more", "shop \"a\" \"b\"",
     "syntax 9..12 a sign is missing between `\"a\"` and `\"b\"`"},
    {"include without quotes", "include b.job",
     "syntax 8..9 the file's name stands in double quotes | include \"b\""},
    {"include alone", "include",
     "syntax 0..7 the file's name stands in double quotes | include \"...\""},
    {"moulds from nothing", "moulds from",
     "syntax 7..11 the file's name stands in double quotes | from \"...\""},
    {"shop not closed", "shop \"salt",
     "unclosed 5..6 the text that begins here has no closing quote"},
    /* missing things */
    {"start alone", "start", "syntax 0..5 a value is missing behind `start`"},
    {"why alone", "why", "syntax 0..3 a value is missing behind `why`"},
    {"restore alone", "restore", "syntax 0..7 the name of what is put back is missing here"},
    {"restore a number", "restore 3", "syntax 8..9 the name of what is put back is missing here"},
    {"restore two", "restore a.b c",
     "syntax 12..13 a sign is missing between `a.b` and `c` | "
     "a.b_c if this is one name"},
    {"drop alone", "drop", "syntax 0..4 the name of the mould or line is missing here"},
    {"report of a number", "cost 3",
     "syntax 5..6 behind `cost` stands the name of a mould or nothing | cost"},
    {"report of two", "cost a b",
     "syntax 5..8 behind `cost` stands the name of a mould or nothing | cost"},
    {"report of a word of the language", "cost if",
     "syntax 5..7 behind `cost` stands the name of a mould or nothing | cost"},
    /* moulds */
    {"mould alone", "mould",
     "syntax 0..5 the mould's name is missing here | mould hull_port: area 6.4 "
     "m2, edge 11.2 m"},
    {"mould in quotes", "mould \"a b\": x 1",
     "syntax 6..11 the mould's name is missing here | mould hull_port: area 6.4 m2, edge 11.2 m"},
    {"mould without colon", "mould a area 5",
     "syntax 8..12 a colon is missing behind the mould's name | mould a: area 6.4 m2, edge 11.2 m"},
    {"mould of two words", "mould port deck: area 5",
     "syntax 11..15 a colon is missing behind the mould's name | mould port_deck: area 6.4 m2, "
     "edge 11.2 m"},
    {"mould with a dash", "mould port-deck: area 5",
     "syntax 10..11 a colon is missing behind the mould's name | mould port_deck: area 6.4 m2, "
     "edge 11.2 m"},
    {"a recipe without quotes", "mould a: area 5, recipe usual mould",
     "syntax 30..35 a sign is missing between `usual` and `mould` | \"usual mould\" in quotes if "
     "this is one name"},
    {"mould with a unit that is none", "mould a: area 5 zz, edge 3 m",
     "unknown-unit 16..18 `zz` is no unit"},
    {"mould with a unit in capitals", "mould a: area 5 M2, edge 3 m",
     "unknown-unit 16..18 `M2` is no unit | m2"},
    {"mould with a path", "mould a.b: area 5",
     "bad-character 7..8 a point joins two names without blanks, or stands in a number | hull.area"},
    {"mould without comma", "mould a: area 5 m2 edge 3 m",
     "syntax 19..23 a sign is missing between `5 m2` and `edge` | put a comma in front of `edge`"},
    {"mould without comma behind a number", "mould a: count 5 edge 3 m",
     "unknown-unit 17..21 `edge` is no unit | put a comma in front of `edge`"},
    {"mould with equalities", "mould a: area = 5, edge: 3",
     "syntax 14..15 in a mould's line the value follows the name directly | area 5\n"
     "syntax 23..24 in a mould's line the value follows the name directly | edge 3"},
    {"mould with a comma at the end", "mould a: area 5 m2,",
     "syntax 18..19 the name of an input is missing here"},
    {"mould with an input without value", "mould a: area, edge 3 m",
     "syntax 13..14 a value is missing between `area` and `,`"},
    {"mould with a last input without value", "mould a: area",
     "syntax 9..13 a value is missing behind "
     "`area`"},
    {"mould with a decimal comma", "mould a: area 6,4 m2, edge 3 m",
     "decimal-comma 14..17 a comma stands inside the number `6,4` | 6.4"},
    {"mould with an input twice", "mould a: area 5 m2, edge 3 m, area 6 m2",
     "name-twice 30..34 `area` is given twice"},
    {"mould with a number as an input", "mould a: 5 m2, edge 3 m",
     "syntax 9..13 the name of an input is missing here"},
    {"mould with an override", "mould a: heavy.plies 6",
     "bad-character 14..15 a point joins two names without blanks, or stands in a number | hull.area"},
    {"mould with several faults", "mould a: area 5 metr, edge (3 m, count 2 +, recipe \"x\" y",
     "unknown-unit 16..20 `metr` is no unit | metre\n"
     "unclosed 27..28 the bracket `(` is not closed"},
    {"mould with a fault in each value",
     "mould a: area 5 metr, edge 3 m), count 2 +, recipe \"x\" y",
     "unknown-unit 16..20 `metr` is no unit | metre\n"
     "syntax 30..31 `)` closes nothing that was opened\n"
     "syntax 42..43 a value is missing between `+` and `,`\n"
     "syntax 55..56 a sign is missing between `\"x\"` and `y` | put a comma in front of `y`"},
    /* what if */
    {"what if alone", "what if",
     "syntax 5..7 the name of what would change is missing here | what if "
     "hull_port.heavy.plies = 2, 3, 4"},
    {"what if without name", "what if = 3",
     "syntax 8..9 the name of what would change is missing here | what if hull_port.heavy.plies = 2, "
     "3, 4"},
    {"what if without equality", "what if a 3",
     "syntax 10..11 `=` and the values to try are missing here"},
    {"what if without values", "what if a =", "syntax 10..11 a value is missing behind `=`"},
    {"what if without comma", "what if a = 3 4 with b = 2",
     "syntax 14..15 a sign is missing between `3` and `4` | put a comma in front of `4`"},
    {"what if with a comma at the end", "what if a = 3,",
     "syntax 13..14 a value is missing behind `,`"},
    {"what if with nothing", "what if a = 3 with",
     "syntax 14..18 the name of what would change is missing here | what if hull_port.heavy.plies = "
     "2, 3, 4"},
    {"what if with a fault in each value", "what if a = 3 metr, 4 +, 5 b",
     "unknown-unit 14..18 `metr` is no unit | metre\n"
     "syntax 23..24 a value is missing between `+` and `,`\n"
     "unknown-unit 27..28 `b` is no unit | to multiply by a name put `*` in front: * b"},
};

static void says(void **state)
{
    const form_row *row = *state;
    front f;
    front_open(&f, mw_str_of(row->text));
    mw_statement statement;
    assert_int_equal(mw_parse_statement(&f.reader, front_whole(&f), &statement), MW_FAILED);
    assert_string_equal(front_messages(&f), row->want);
    assert_int_equal(f.ast.node_count, 0);
    assert_int_equal(f.ast.item_count, 0);
    front_check_words(&f);
    front_close(&f);
}

/* The second place of the messages that have one. */
static void shows_the_other_place(void **state)
{
    (void)state;
    front f;
    front_open(&f, mw_str_of("mould a: area 5 m2, area 6 m2"));
    mw_statement statement;
    assert_int_equal(mw_parse_statement(&f.reader, front_whole(&f), &statement), MW_FAILED);
    assert_int_equal(f.diags.items[0].other.begin, 9);
    assert_int_equal(f.diags.items[0].other.end, 13);
    assert_string_equal(f.diags.items[0].other_note, "the first time");
    front_close(&f);
    front_open(&f, mw_str_of("a = (b]"));
    assert_int_equal(mw_parse_statement(&f.reader, front_whole(&f), &statement), MW_FAILED);
    assert_int_equal(f.diags.items[0].other.begin, 6);
    assert_string_equal(f.diags.items[0].other_note, "it is closed here");
    front_close(&f);
}

/* --- the table of words --- */

/* Every example is a statement that begins with its word; no word stands twice. */
static void check_rows(const mw_command_row *rows, bool commands)
{
    for (const mw_command_row *row = rows; row->word != NULL; row++) {
        assert_non_null(row->syntax);
        assert_non_null(row->about);
        assert_memory_equal(row->syntax, row->word, strlen(row->word));
        for (const mw_command_row *other = rows; other != row; other++) {
            assert_string_not_equal(other->word, row->word);
        }
        front f;
        front_open(&f, mw_str_of(row->example));
        mw_statement statement;
        assert_int_equal(mw_parse_statement(&f.reader, front_whole(&f), &statement), MW_OK);
        assert_int_equal(statement.kind == MW_SAY_COMMAND, commands);
        assert_memory_equal(row->example, row->word, strlen(row->word));
        front_close(&f);
    }
}

static void table_of_words_holds(void **state)
{
    (void)state;
    check_rows(mw_command_rows(), true);
    check_rows(mw_statement_rows(), false);
    static const char *const reports[] = {"moulds",   "takeoff", "hours",   "waits",  "calendar",
                                          "timeline", "cost",    "pricing", "buying", "cautions"};
    for (size_t i = 0; i < sizeof reports / sizeof reports[0]; i++) {
        assert_string_equal(mw_command_rows()[i].word, reports[i]);
        assert_true(mw_command_rows()[i].report);
    }
    assert_false(mw_command_rows()[sizeof reports / sizeof reports[0]].report);
}

/* Statements of one source share a tree; each finds its own items in it. */
static void adds_to_the_tree(void **state)
{
    (void)state;
    front f;
    front_open(&f,
               mw_str_of("mould a: count 1, area 2 m2\nwhat if x = f([1]), 2\nmould b: count 3\n"));
    mw_statement statements[3];
    uint32_t at = 0;
    mw_span span;
    for (int i = 0; i < 3; i++) {
        assert_true(mw_next_line(f.sources, f.source, &at, &span));
        assert_int_equal(mw_parse_statement(&f.reader, span, &statements[i]), MW_OK);
    }
    assert_false(mw_next_line(f.sources, f.source, &at, &span));
    assert_string_equal(words_of(&f, &statements[0]),
                        "mould name<a> {count: 1 <1>} {area: 2[m2] <2 m2>} all<mould a: count 1, "
                        "area 2 m2>");
    assert_string_equal(
        words_of(&f, &statements[1]),
        "what-if {x = x: (call f (list 1)) 2 <f([1]), 2>} all<what if x = f([1]), 2>");
    assert_string_equal(words_of(&f, &statements[2]),
                        "mould name<b> {count: 3 <3>} all<mould b: count 3>");
    front_close(&f);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "form", form_rows, has_form);
    test_add_rows(&list, "error", error_rows, says);
    test_add(&list, shows_the_other_place);
    test_add(&list, table_of_words_holds);
    test_add(&list, adds_to_the_tree);
    return test_run(&list, "lang_statement");
}
