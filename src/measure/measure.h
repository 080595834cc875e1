/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The inside of the measuring context, shared by the files of this module. */
#ifndef MOULDWRIGHT_MEASURE_MEASURE_H
#define MOULDWRIGHT_MEASURE_MEASURE_H

#include "mouldwright/money.h"
#include "mouldwright/names.h"
#include "mouldwright/unit.h"
#include "unit_table.h"

enum {
    TYPE_CHUNK = 256,     /* types in a block; blocks never move */
    TYPE_MEMO_BITS = 10,  /* slots of the memory of type rules */
    UNIT_MEMO_BITS = 9,   /* slots of the memory of unit products */
    UNIT_TEXT_BITS = 9,   /* slots of the memory of unit texts */
    UNIT_TEXT_BYTES = 16, /* longest unit text that is remembered */
    FACTOR_MAX = 12,      /* factors of one unit */
    POWER_MAX = 99,       /* largest power of a factor */
};

/* --- types ----------------------------------------------------------------------------------- */

typedef struct type_record {
    mw_type_parts parts;
    mw_unit usual; /* MW_NONE until asked for */
} type_record;

/* What a rule said about two types. An entry of zeros is the right answer for number + number. */
typedef struct type_memo {
    mw_type a;
    mw_type b;
    mw_type out;
    uint16_t rule;
    uint16_t fault;
} type_memo;

/* --- units ----------------------------------------------------------------------------------- */

/* What stands under a name: a row of the table, a currency or a unit of the shop, in this order. */
typedef uint32_t symbol;

/* A symbol with its prefix: symbol + (prefix << 24); prefix 0 is none, else row prefix - 1. */
typedef uint32_t atom;

typedef struct unit_factor {
    atom atom;
    int32_t exponent; /* in sixtieths; never 0 */
} unit_factor;

typedef struct factors {
    unit_factor items[FACTOR_MAX];
    uint32_t count;
} factors;

typedef struct unit_record {
    factors factors;
    mw_type type;
    double scale;
    double offset;
} unit_record;

typedef struct shop_unit {
    uint32_t name; /* id in `names` */
    mw_unit unit;
    double factor;
} shop_unit;

/* A name that can be read: what it stands for, and which prefixes go before it. */
typedef struct name_meaning {
    atom atom;
    unit_prefixes prefixes;
} name_meaning;

/* A unit text that was read before, with the run of bytes that could have continued it: the bytes
 * packed from the lowest up, zeros behind them. */
typedef struct unit_text {
    uint64_t bytes[2]; /* all 0: empty slot */
    mw_unit unit;      /* MW_NONE: no unit stands there */
    uint32_t used;
} unit_text;

typedef struct unit_memo {
    mw_unit a;
    uint32_t b;
    mw_type type;
    uint32_t rule; /* 0: empty slot */
    mw_unit out;
} unit_memo;

struct mw_measure {
    type_record **type_chunks;
    size_t type_chunk_capacity;
    uint32_t type_count;
    uint32_t *type_slots; /* ids, MW_NONE empty */
    uint32_t type_slot_bits;
    type_memo type_memo[1 << TYPE_MEMO_BITS];

    mw_names *names;
    name_meaning *meanings; /* by id of the name */
    size_t meaning_capacity;
    shop_unit *shop_units;
    size_t shop_capacity;
    uint32_t shop_count;

    unit_record *units;
    size_t unit_capacity;
    uint32_t unit_count;
    uint32_t *unit_slots; /* ids, MW_NONE empty */
    uint32_t unit_slot_bits;
    unit_text unit_texts[1 << UNIT_TEXT_BITS];
    unit_memo unit_memo[1 << UNIT_MEMO_BITS];

    uint16_t base_currency; /* 0 none */
    double *rates;          /* by currency id; 0 none */
};

static inline type_record *type_record_of(const mw_measure *measure, mw_type type)
{
    return &measure->type_chunks[type / TYPE_CHUNK][type % TYPE_CHUNK];
}

static inline const mw_type_parts *type_parts(const mw_measure *measure, mw_type type)
{
    return &type_record_of(measure, type)->parts;
}

/* Mixes 64 bits into a well-spread hash (the finaliser of MurmurHash3, in the public domain). */
static inline uint64_t mix_bits(uint64_t x)
{
    x ^= x >> 33;
    x *= UINT64_C(0xff51afd7ed558ccd);
    x ^= x >> 33;
    x *= UINT64_C(0xc4ceb9fe1a85ec53);
    return x ^ (x >> 33);
}

/* measure.c */
/* Returns 2^bits empty slots of a table of ids, or NULL when there is no memory. */
uint32_t *empty_slots(uint32_t bits) MW_MUST_USE;

/* types.c: makes the fixed types; frees all. */
mw_status types_start(mw_measure *measure) MW_MUST_USE;
void types_free(mw_measure *measure);
/* Returns the interned type of parts, or MW_NONE where it was never interned. */
mw_type type_find(const mw_measure *measure, const mw_type_parts *parts);

/* unit_store.c: enters the names of the tables; frees all. */
mw_status units_start(mw_measure *measure) MW_MUST_USE;
void units_free(mw_measure *measure);
/* Returns the unit of factors: MW_FAILED where no type or no finite scale fits them. */
mw_status unit_of_factors(mw_measure *measure, const factors *list, mw_unit *unit) MW_MUST_USE;
/* Works type and scale of every unit out again after a rate or the shop's currency changed.
 * Units that no longer have a type keep what they had. Where memory runs out, putting the rates
 * back and calling it again puts all back: those types exist. */
mw_status units_refresh(mw_measure *measure) MW_MUST_USE;
/* Forgets unit texts and products that were remembered. */
void units_forget(mw_measure *measure);

/* unit_meaning.c: type, scale and offset of factors. */
typedef struct unit_meaning {
    mw_type_parts parts;
    double scale;
    double offset;
} unit_meaning;
mw_status meaning_of_factors(const mw_measure *measure, const factors *list,
                             unit_meaning *out) MW_MUST_USE;
/* The kind of one atom, as exponents; returns whether it is a plain number. */
bool atom_exponents(const mw_measure *measure, atom item, int32_t exponents[MW_BASE_COUNT]);

/* unit_read.c: whether a word of the language is never a unit. */
bool word_reserved(mw_str word);

/* factors.c: puts item^exponent into a list, together with the same item if it is there. False past
 * the limits. */
bool factors_add(factors *list, atom item, int32_t exponent) MW_MUST_USE;

/* unit_words.c */
void factors_words(const mw_measure *measure, const factors *list, mw_text *out);
/* Returns the row of a symbol or NULL where it is a currency or a unit of the shop. */
static inline const unit_row *row_of_symbol(symbol which)
{
    return which < UNIT_ROWS ? &unit_rows[which] : NULL;
}
static inline symbol atom_symbol(atom item)
{
    return item & 0xffffffU;
}
static inline uint32_t atom_prefix(atom item)
{
    return item >> 24;
}

/* unit_usual.c: puts a type together from base units. False past the limits of a unit. */
bool factors_of_type(const mw_measure *measure, const mw_type_parts *parts,
                     factors *list) MW_MUST_USE;

/* Returns the currency that amounts read in `currency` have inside. */
static inline uint16_t effective_currency(const mw_measure *measure, uint16_t currency)
{
    return measure->rates[currency] > 0 ? measure->base_currency : currency;
}

#endif
