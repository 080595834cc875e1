/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the cursor stands in a line that may not be whole yet. */
#include "complete.h"

#include <string.h>

/* A word, number or quote in front of the cursor. */
typedef struct piece {
    mw_str text;
    char kind; /* w word or path, n number, q open quote, s sign, t text in quotes */
} piece;

enum { PIECES_MAX = 256 };

typedef struct pieces {
    piece items[PIECES_MAX];
    size_t count;
} pieces;

static bool word_byte(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' ||
           (unsigned char)c >= 0x80;
}

static bool digit(char c)
{
    return c >= '0' && c <= '9';
}

/* The bytes of a number: digits, one point, an exponent; or a date. */
static size_t number_length(mw_str rest)
{
    size_t at = 0;
    while (at < rest.length &&
           (digit(rest.at[at]) ||
            (rest.at[at] == '.' && at + 1 < rest.length && digit(rest.at[at + 1])) ||
            (rest.at[at] == '-' && at >= 4 && at + 1 < rest.length && digit(rest.at[at + 1])))) {
        at++;
    }
    return at;
}

static size_t path_length(mw_str rest)
{
    size_t at = 0;
    while (at < rest.length && (word_byte(rest.at[at]) || rest.at[at] == '.')) {
        at++;
    }
    return at;
}

/* A text in quotes: to the closing one, or to the end. */
static size_t quote_length(mw_str rest, char *kind)
{
    size_t at = 1;
    while (at < rest.length && rest.at[at] != '"') {
        at += rest.at[at] == '\\' && at + 1 < rest.length ? 2 : 1;
    }
    *kind = at < rest.length ? 't' : 'q';
    return at < rest.length ? at + 1 : rest.length;
}

/* The unit that stands right at the number, with its powers and slashes. */
static size_t unit_length(mw_str rest)
{
    size_t at = 0;
    while (at < rest.length && (word_byte(rest.at[at]) || strchr("/*^%", rest.at[at]))) {
        at++;
    }
    return at;
}

static void add_piece(pieces *list, mw_str text, char kind)
{
    if (list->count == PIECES_MAX) { /* only the newest matter */
        memmove(list->items, list->items + PIECES_MAX / 2, PIECES_MAX / 2 * sizeof *list->items);
        list->count = PIECES_MAX / 2;
    }
    list->items[list->count++] = (piece){text, kind};
}

/* Splits what stands in front of the cursor; false: in a comment. */
static bool split(mw_str line, pieces *list)
{
    size_t at = 0;
    while (at < line.length) {
        mw_str rest = {line.at + at, line.length - at};
        size_t length = 1;
        char kind = 's';
        if (rest.at[0] == '#') {
            return false;
        }
        if (rest.at[0] == ' ' || rest.at[0] == '\t') {
            at++;
            continue;
        }
        if (rest.at[0] == '"') {
            length = quote_length(rest, &kind);
        } else if (digit(rest.at[0])) {
            length = number_length(rest);
            kind = 'n';
        } else if (word_byte(rest.at[0])) {
            length = path_length(rest);
            kind = 'w';
        }
        add_piece(list, (mw_str){rest.at, length}, kind);
        at += length;
    }
    return true;
}

static const piece *behind(const pieces *list, size_t back)
{
    return back < list->count ? &list->items[list->count - 1 - back] : NULL;
}

static bool is_word(const piece *of, const char *word)
{
    return of && of->kind == 'w' && mw_str_is(of->text, word);
}

static bool ends_with(mw_str text, const char *ending)
{
    size_t length = strlen(ending);
    return text.length >= length && memcmp(text.at + text.length - length, ending, length) == 0;
}

/* Inside a quote that is open. */
static place_at in_quote(const pieces *list, mw_str line)
{
    const piece *quote = behind(list, 0);
    place_at place = {.kind = PLACE_NOTHING, .from = (size_t)(quote->text.at - line.at) + 1};
    const piece *one = behind(list, 1);
    const piece *two = behind(list, 2);
    bool sign = one && one->kind == 's' && strchr("=>", one->text.at[0]);
    const piece *name = sign ? two : one;
    if (!name || name->kind != 'w') {
        return place;
    }
    if (list->count == 2 && is_word(name, "shop")) {
        place.kind = PLACE_SHOP;
    } else if (is_word(name, "from") && is_word(two, "moulds")) {
        place.kind = PLACE_CSV_FILE;
    } else if (list->count == 2 && (is_word(name, "include") || is_word(name, "save"))) {
        place.kind = PLACE_JOB_FILE;
    } else if (is_word(name, "recipe") || ends_with(name->text, ".recipe")) {
        place.kind = PLACE_RECIPE;
    } else if (ends_with(name->text, "_material")) {
        place.kind = PLACE_MATERIAL;
    }
    return place;
}

/* The statements whose word asks for something of its own behind it. */
static place_kind behind_word(mw_str word)
{
    static const struct {
        const char *word;
        place_kind kind;
    } rows[] = {{"steps", PLACE_MOULD},   {"drop", PLACE_DROP},       {"restore", PLACE_SETTABLE},
                {"help", PLACE_HELP},     {"why", PLACE_FORMULA},     {"undo", PLACE_NOTHING},
                {"redo", PLACE_NOTHING},  {"quit", PLACE_NOTHING},    {"shop", PLACE_NOTHING},
                {"start", PLACE_FORMULA}, {"include", PLACE_NOTHING}, {"mould", PLACE_NOTHING},
                {"save", PLACE_NOTHING},  {"recipes", PLACE_NOTHING}, {"materials", PLACE_NOTHING},
                {"lines", PLACE_DROP},    {"changes", PLACE_NOTHING}, {"revert", PLACE_NOTHING},
                {"paper", PLACE_NOTHING}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        if (mw_str_is(word, rows[i].word)) {
            return rows[i].kind;
        }
    }
    for (const mw_command_row *row = mw_command_rows(); row->word; row++) {
        if (row->report && mw_str_is(word, row->word)) {
            return PLACE_MOULD;
        }
    }
    return PLACE_FORMULA;
}

/* The recipe that a mould's line names, or empty. */
static mw_str named_recipe(const pieces *list)
{
    for (size_t i = 0; i + 1 < list->count; i++) {
        if (is_word(&list->items[i], "recipe") && list->items[i + 1].kind == 't') {
            mw_str text = list->items[i + 1].text;
            return (mw_str){text.at + 1, text.length - 2};
        }
    }
    return (mw_str){0};
}

/* In `mould NAME: INPUT VALUE, ...`. */
static place_kind in_mould_line(const pieces *list)
{
    const piece *before = behind(list, 0);
    if (list->count < 3) {
        return PLACE_NOTHING;
    }
    if (before->kind == 's' && (before->text.at[0] == ',' || before->text.at[0] == ':')) {
        return PLACE_FIELD;
    }
    return is_word(before, "after") ? PLACE_MOULD : PLACE_FORMULA;
}

/* What the word that is being typed can be, from what stands in front of it. */
static place_kind word_place(const pieces *list)
{
    if (list->count == 0) {
        return PLACE_STATEMENT;
    }
    const piece *before = behind(list, 0);
    if (before->kind == 't' || before->kind == 'n') {
        return before->kind == 'n' ? PLACE_UNIT : PLACE_NOTHING;
    }
    if (is_word(before, "as")) {
        return PLACE_UNIT;
    }
    if (is_word(&list->items[0], "mould")) {
        return in_mould_line(list);
    }
    bool what_if = list->count >= 2 && is_word(&list->items[0], "what");
    if (what_if && (is_word(before, "if") || is_word(before, "with") || is_word(before, "by"))) {
        return PLACE_SETTABLE;
    }
    if (list->count == 1 && before->kind == 'w') {
        return is_word(before, "what") ? PLACE_NOTHING : behind_word(before->text);
    }
    return PLACE_FORMULA;
}

/* The number that a unit is being typed behind: the byte where the unit's last name begins, or SIZE_MAX. */
static size_t unit_from(mw_str line)
{
    size_t at = line.length;
    while (at > 0 && (word_byte(line.at[at - 1]) || strchr("/*^%", line.at[at - 1]))) {
        at--;
    }
    size_t begin = at; /* of the run */
    size_t lead = number_length((mw_str){line.at + begin, line.length - begin});
    size_t back = begin;
    while (back > 0 && line.at[back - 1] == ' ') {
        back--;
    }
    bool number_before = back > 0 && back < begin && digit(line.at[back - 1]);
    if (lead == 0 && number_before) {
        /* 12 kg, but not m2 kg */
        size_t word = back;
        while (word > 0 && (word_byte(line.at[word - 1]) || line.at[word - 1] == '.')) {
            word--;
        }
        number_before = digit(line.at[word]);
    }
    if (lead == 0 && !number_before) {
        return SIZE_MAX;
    }
    begin += lead;
    if (unit_length((mw_str){line.at + begin, line.length - begin}) != line.length - begin) {
        return SIZE_MAX;
    }
    size_t name = line.length;
    while (name > begin && word_byte(line.at[name - 1])) {
        name--;
    }
    return name;
}

/* Behind `help`, where words hold dashes: where the word begins, or SIZE_MAX. */
static size_t help_from(const pieces *list, mw_str line, size_t cursor)
{
    if (list->count == 0 || !is_word(&list->items[0], "help")) {
        return SIZE_MAX;
    }
    size_t behind_word = (size_t)(list->items[0].text.at - line.at) + strlen("help");
    size_t at = behind_word;
    while (at < cursor && line.at[at] == ' ') {
        at++;
    }
    return at > behind_word ? at : SIZE_MAX;
}

place_at complete_place(mw_str line, size_t cursor)
{
    place_at place = {.kind = PLACE_NOTHING, .from = cursor};
    size_t begin = cursor;
    while (begin > 0 && line.at[begin - 1] != '\n') {
        begin--;
    }
    mw_str head = {line.at + begin, cursor - begin};
    pieces list = {.count = 0};
    if (!split(head, &list)) {
        return place;
    }
    place.open_end = cursor >= line.length || line.at[cursor] != '"';
    if (list.count > 0 && behind(&list, 0)->kind == 'q') {
        bool open_end = place.open_end;
        place = in_quote(&list, head);
        place.open_end = open_end;
        place.from += begin;
        return place;
    }
    size_t unit = unit_from(head);
    if (unit != SIZE_MAX) {
        place.kind = PLACE_UNIT;
        place.from = begin + unit;
        return place;
    }
    size_t help = help_from(&list, line, cursor);
    if (help != SIZE_MAX) {
        place.kind = PLACE_HELP;
        place.from = help;
        return place;
    }
    size_t word = cursor;
    while (word > begin && (word_byte(line.at[word - 1]) || line.at[word - 1] == '.')) {
        word--;
    }
    place.recipe = named_recipe(&list);
    if (word < cursor && list.count > 0) {
        list.count--; /* the word that is being typed */
    }
    place.kind = word_place(&list);
    place.from = word;
    for (size_t at = cursor; at > word && place.before.length == 0; at--) {
        if (line.at[at - 1] == '.') {
            place.before = (mw_str){line.at + word, at - 1 - word};
            place.from = at;
        }
    }
    return place;
}
