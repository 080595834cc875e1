/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of the language: one table for checking, calling, help, docs and tests. */
#ifndef MOULDWRIGHT_FUNCTION_H
#define MOULDWRIGHT_FUNCTION_H

#include "mouldwright/values.h"

#ifdef __cplusplus
extern "C" {
#endif

#define MW_ARGUMENTS_MAX 20

/* A function. Kinds are given as texts: a unit (`kg/m2`, `1`), or `date`, `degC` (temperature
 * point), `truth`, `text`, `people`, `labour`, `time`; `any` (the first one fixes the kind of every
 * `any` and `same` in the row), `same`; a `...` behind the last one: it may be repeated; `list` in
 * front: a whole list, whose elements `call` gets one after the other; several whole lists of one
 * call are equally long; `each` in front: such a list, or one value for all of its elements. Where
 * none is a list, a list given for a value makes one call for each
 * element. */
typedef struct mw_function {
    const char *name;
    const char *takes[MW_ARGUMENTS_MAX + 1]; /* ended by NULL */
    const char *names[MW_ARGUMENTS_MAX + 1]; /* of the arguments, for help */
    const char *gives;
    const char *about;   /* one sentence */
    const char *example; /* a formula without names, run by the tests */
    const char *result;  /* what it prints */
    const char *source;  /* published source of the formula, or NULL */
    /* Computes from arguments in SI; an error is mw_error_value(). Pure; `host` is what the scope
     * gave. NULL for functions that the compiler knows itself. Must not allocate. */
    double (*call)(void *host, const double *arguments, uint32_t count);
} mw_function;

/* Returns the built-in functions, `*count` of them: sum mean smallest largest count, sqrt exp ln
 * log10 sin cos tan asin acos atan abs, round_up round_down round_to, and on dates year month day
 * weekday week iso_year. */
const mw_function *mw_functions(size_t *count);

/* Functions that a host plugs in (the shop's calendar, the trade's computation). */
typedef struct mw_host {
    const mw_function *functions;
    size_t count;
    void *context; /* handed to `call` */
} mw_host;

#ifdef __cplusplus
}
#endif

#endif
