/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The catalogue of codes.def as tables. */
#include "mouldwright/diag.h"

typedef struct code_row {
    const char *word;
    const char *title;
    const char *advice;
} code_row;

static const code_row code_rows[] = {
#define MW_CODE(id, word, title, advice) [MW_CODE_##id] = {word, title, advice},
#include "mouldwright/codes.def"
#undef MW_CODE
};
_Static_assert(sizeof code_rows / sizeof code_rows[0] == MW_CODE_COUNT, "a row for every code");

static const code_row *row_of(mw_code code)
{
    return &code_rows[(unsigned)code < MW_CODE_COUNT ? code : MW_CODE_INTERNAL];
}

const char *mw_code_word(mw_code code)
{
    return row_of(code)->word;
}

const char *mw_code_title(mw_code code)
{
    return row_of(code)->title;
}

const char *mw_code_advice(mw_code code)
{
    return row_of(code)->advice;
}
