/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What all readers of recipe files share: tables of keys, values by kind, and messages. A reader goes on
 * after an error, so that all errors of a file come in one run; who started it asks at the end. */
#ifndef RECIPE_LOAD_H
#define RECIPE_LOAD_H

#include "mouldwright/recipe.h"
#include "mouldwright/suggest.h"
#include "mouldwright/yaml.h"
#include "recipe/calculate.h"

/* One file being read. */
typedef struct mw_load {
    const mw_sources *sources;
    mw_calculator *calculator; /* with the measure context */
    mw_diags *diags;
    mw_arena *rows;    /* what is made lives here */
    mw_arena *scratch; /* what is only needed while reading */
    size_t errors_before;
    bool no_memory; /* sticky */
} mw_load;

/* Begins: `errors_before` is set from the sink. */
mw_load mw_load_start(mw_calculator *calculator, mw_arena *rows, mw_arena *scratch,
                      mw_diags *diags);
/* What became of it: MW_OK, MW_FAILED when an error was reported since the start, MW_NO_MEMORY. */
mw_status mw_load_status(const mw_load *load);

/* Returns zeroed memory for `count` things of `size` bytes (at least one) among the rows; NULL, noted,
 * when there is none. */
void *mw_load_room(mw_load *load, size_t count, size_t size);
/* The same for what is only needed while reading. */
void *mw_load_scratch(mw_load *load, size_t count, size_t size);
/* Returns the text of a scalar for good, without blanks around it. */
mw_str mw_load_keep(mw_load *load, const mw_yaml_node *node);

/* The same for a node's key, as it is. */
mw_str mw_load_key(mw_load *load, const mw_yaml_node *node);

/* --- tables of keys -------------------------------------------------------------------------- */

typedef enum mw_field_kind {
    MW_FIELD_TEXT,    /* mw_str; mw_span of it at `also` */
    MW_FIELD_WORD,    /* the same; a name as formulas write it */
    MW_FIELD_TEXTS,   /* mw_name_list */
    MW_FIELD_FORMULA, /* mw_span */
    MW_FIELD_TRUTH,   /* bool */
    MW_FIELD_COUNT,   /* uint32_t */
    MW_FIELD_CLOCK,   /* mw_clockwork */
    MW_FIELD_UNIT,    /* mw_type; mw_unit at `also` */
    MW_FIELD_LIST,    /* const mw_yaml_node *: a list */
    MW_FIELD_MAP,     /* const mw_yaml_node *: a map */
    MW_FIELD_ANY,     /* const mw_yaml_node * */
    MW_FIELD_KINDS
} mw_field_kind;

#define MW_FIELD_NOWHERE SIZE_MAX

/* A key that may stand in a map, and where its value goes in the struct that is filled. */
typedef struct mw_field {
    const char *key;
    mw_field_kind kind;
    bool required;
    size_t at;
    size_t also; /* MW_FIELD_NOWHERE: not wanted */
} mw_field;

#define MW_FIELD(key, kind, type, member)                          \
    {                                                              \
        key, kind, false, offsetof(type, member), MW_FIELD_NOWHERE \
    }
#define MW_FIELD_ALSO(key, kind, type, member, other)                   \
    {                                                                   \
        key, kind, false, offsetof(type, member), offsetof(type, other) \
    }
#define MW_NEEDED(key, kind, type, member)                        \
    {                                                             \
        key, kind, true, offsetof(type, member), MW_FIELD_NOWHERE \
    }
#define MW_NEEDED_ALSO(key, kind, type, member, other)                 \
    {                                                                  \
        key, kind, true, offsetof(type, member), offsetof(type, other) \
    }

/* The keys of one sort of map; at most 32. */
typedef struct mw_keys {
    const char *what; /* "a step" */
    const mw_field *fields;
    size_t count;
} mw_keys;

#define MW_KEYS(what, fields)                              \
    {                                                      \
        what, fields, sizeof(fields) / sizeof((fields)[0]) \
    }

/* Reads a map by its table into `into`. Reports what is no map, unknown keys, missing keys and values of
 * another form. Returns which keys were given: bit i for fields[i]. */
uint32_t mw_load_fields(mw_load *load, const mw_keys *keys, const mw_yaml_node *map, void *into);
/* Returns the bit of a key of the table. */
uint32_t mw_keys_bit(const mw_keys *keys, const char *key);
/* Copies the values of the keys given from one such struct to another; fields that lie at `size` or
 * beyond are left out. */
void mw_keys_copy(const mw_keys *keys, uint32_t given, const void *from, void *to, size_t size);

/* --- values one by one: they return false when it was not well, which was reported ------------ */

bool mw_load_text(mw_load *load, const mw_yaml_node *node, mw_str *out);
bool mw_load_texts(mw_load *load, const mw_yaml_node *node, mw_name_list *out);
bool mw_load_formula(mw_load *load, const mw_yaml_node *node, mw_span *out);
bool mw_load_unit(mw_load *load, const mw_yaml_node *node, mw_type *type, mw_unit *unit);
/* A unit as the table of standard quantities writes it: also `labour`, `time`, `people`, `money`,
 * `truth`, `text`, `date`. MW_NOT_FOUND for no unit; MW_PENDING for money before a shop was read. */
mw_status mw_unit_of_words(mw_measure *measure, mw_str words, mw_type *type, mw_unit *unit);
/* Works out a figure that must fit `type` (MW_NONE: any). False: it was reported, or the formula is
 * nowhere because it could not be read. */
bool mw_load_figure(mw_load *load, mw_span formula, mw_type type, mw_constant *out);
/* Whether a name can be used in formulas and is not reserved; else reported. `what` says whose name it is:
 * "a step". */
bool mw_load_name(mw_load *load, mw_str name, mw_span at, const char *what);

/* --- messages -------------------------------------------------------------------------------- */

/* Returns the place that stands for a node in a message: its text, its key, or its first line. */
mw_span mw_node_place(const mw_yaml_node *node);
/* Returns what a node is, for people: "a list", "a map", "the text `x`", "nothing". */
const char *mw_node_words(mw_load *load, const mw_yaml_node *node);
/* Reports another form than expected: "`steps` must be a list, found ...". Returns the message for
 * attaching more. */
mw_diag *mw_load_wrong_form(mw_load *load, const mw_yaml_node *node, const char *expected);
/* Whether a node is the kind that is expected; an empty value serves as an empty list or map. Else reported. */
bool mw_load_is(mw_load *load, const mw_yaml_node *node, mw_yaml_kind kind);
/* Reports a value outside what is allowed. */
void mw_load_range(mw_load *load, mw_span at, const char *message);
/* Reports a name that comes twice, with both places. */
void mw_load_twice(mw_load *load, const char *what, mw_str name, mw_span second, mw_span first);

/* A search for the nearest of known names that is not done once the limit of errors is reached. */
mw_suggest mw_load_suggest(const mw_load *load, mw_str wanted);
/* Attaches "did you mean ...?" if the search found something. */
void mw_load_mean(mw_load *load, mw_diag *diag, const mw_suggest *suggest);

#define MW_SHOW(piece) mw_shown_length(piece), (piece).at
/* At most 60 bytes of a piece are put into a message. */
int mw_shown_length(mw_str piece);

#endif
