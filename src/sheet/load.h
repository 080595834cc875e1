/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Loading a whole source, in steps that each go through memory in order: lines and their names;
 * names that stand in formulas; the order in which lines need each other, in which they become
 * cells. Then the formulas are compiled as in any edit. What is found out on the way are hints:
 * a formula that is not as simple as it looked is still compiled rightly, only more slowly. */
#ifndef MW_SHEET_LOAD_H
#define MW_SHEET_LOAD_H

#include "inside.h"
#include "like.h"

/* A line that defines a new name; in the order of the text. */
typedef struct new_line {
    uint32_t begin, end; /* of the formula */
    uint32_t first_word; /* in words */
    uint32_t shape;      /* see like.h */
} new_line;

typedef struct loading {
    mw_edit *edit;
    mw_diags *diags;
    mw_ast ast;
    mw_str text;
    uint32_t source;
    bool failed;         /* something was reported */
    bool no_memory;      /* for words */
    uint32_t first_name; /* line i has the name first_name + i */
    new_line *lines;     /* and one more behind the last, for its first word */
    uint32_t line_count, line_capacity;
    known_word *words;
    uint32_t word_count, word_capacity;
    likes likes;
    uint32_t *needs; /* lines that lines name, in the order of the text */
    uint32_t need_count, need_capacity;
    uint32_t far_count;   /* of them, those that are far from the line that names them */
    uint32_t *first_need; /* by line, and one more */
    uint32_t *stack;
    uint32_t stack_capacity;
} loading;

/* A line as far as it has been understood. */
typedef struct read_line {
    mw_str name;
    mw_span name_at;
    mw_span formula;
    uint32_t first_word;
    uint32_t shape;
} read_line;

/* load_line.c: Understands the line at `*at` if it has the plainest form, `word = formula`
 * without comment or line joint, and goes behind it. */
bool load_read_plain(loading *load, uint32_t *at, read_line *out);
/* Understands any other line. MW_NOT_FOUND: there is nothing on it. `room` is for its name. */
mw_status load_read_statement(loading *load, mw_span line, char *room, read_line *out);
enum { LOAD_NAME_BYTES = 1024 };

/* In the length of a word that is a number, until words are looked up. */
#define LOAD_NUMBER UINT32_C(0x80000000)

/* load_names.c: looks up the words of all lines. */
mw_status load_find_names(loading *load);

/* load_order.c: makes cells of all lines, each after those that it names. */
mw_status load_make_cells(loading *load);

#endif
