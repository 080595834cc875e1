/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables of functions made ready for the checker: kinds read once, rows found by name. */
#ifndef MW_LANG_FUNCTION_SIGNATURE_H
#define MW_LANG_FUNCTION_SIGNATURE_H

#include "mouldwright/function.h"
#include "mouldwright/unit.h"

typedef enum mw_take {
    MW_TAKE_TYPE,  /* of a stated kind */
    MW_TAKE_UNIT,  /* of the kind of a unit; it may change with the rates of currencies */
    MW_TAKE_ANY,   /* fixes the kind of every `same` in the row */
    MW_TAKE_SAME,  /* the kind that `any` had */
    MW_TAKE_BROKEN /* the table's text is no kind */
} mw_take;

/* What one argument takes, or what a function gives. */
typedef struct mw_take_row {
    mw_type type; /* of MW_TAKE_TYPE; MW_NONE: there was no memory */
    mw_unit unit; /* shown in */
    uint8_t take; /* mw_take */
    bool list;    /* takes whole lists */
    bool each;    /* and a single value for all elements of one */
} mw_take_row;

typedef struct mw_signature {
    const mw_function *row;
    mw_take_row takes[MW_ARGUMENTS_MAX];
    mw_take_row gives;
    uint32_t count; /* of `takes` */
    bool repeated;  /* the last one as often as wanted */
} mw_signature;

typedef struct mw_signatures {
    const mw_function *rows;
    mw_signature *items;
    uint32_t *slots; /* by hash of the name: index + 1, 0 empty */
    uint32_t count;
    uint32_t mask;
} mw_signatures;

/* Reads a table into signatures that start from {0}, or anew. MW_NO_MEMORY leaves them empty. */
mw_status mw_signatures_make(mw_signatures *signatures, mw_measure *measure,
                             const mw_function *rows, size_t count) MW_MUST_USE;
void mw_signatures_free(mw_signatures *signatures);

/* Returns the signature of that name, or NULL. */
const mw_signature *mw_signatures_find(const mw_signatures *signatures, mw_str name);

#endif
