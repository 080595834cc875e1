/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Splitting a text into words, numbers with their units, and signs. Used by the parser only. */
#ifndef MW_LANG_LEXER_H
#define MW_LANG_LEXER_H

#include "mouldwright/parse.h"

#define MW_NAME_BYTES     255
#define MW_FORMULA_BYTES  65536
#define MW_RESERVED_BYTES 5 /* no reserved word is longer */

typedef enum mw_token_kind {
    MW_TOKEN_END,   /* nothing more */
    MW_TOKEN_WRONG, /* could not be read and was reported */
    MW_TOKEN_NUMBER,
    MW_TOKEN_DATE,
    MW_TOKEN_TEXT,
    MW_TOKEN_NAME,
    MW_TOKEN_USUAL,
    MW_TOKEN_YES,
    MW_TOKEN_NO,
    MW_TOKEN_IF,
    MW_TOKEN_THEN,
    MW_TOKEN_ELSE,
    MW_TOKEN_NOT,
    MW_TOKEN_AND,
    MW_TOKEN_OR,
    MW_TOKEN_AS,
    MW_TOKEN_OPEN,       /* ( */
    MW_TOKEN_CLOSE,      /* ) */
    MW_TOKEN_OPEN_LIST,  /* [ */
    MW_TOKEN_CLOSE_LIST, /* ] */
    MW_TOKEN_COMMA,
    MW_TOKEN_COLON,
    MW_TOKEN_RANGE, /* .. */
    MW_TOKEN_PLUS,
    MW_TOKEN_MINUS,
    MW_TOKEN_STAR,
    MW_TOKEN_SLASH,
    MW_TOKEN_CARET,
    MW_TOKEN_EQUAL,
    MW_TOKEN_UNEQUAL,
    MW_TOKEN_LESS,
    MW_TOKEN_LESS_EQUAL,
    MW_TOKEN_GREATER,
    MW_TOKEN_GREATER_EQUAL,
    MW_TOKEN_COUNT
} mw_token_kind;

/* A piece of the text. NUMBER and DATE carry their value; a NUMBER has taken the unit behind it, and
 * its end is the unit's. Begin and end stand apart here and below so that the compiler does not copy both
 * at once: right behind two single writes that makes the processor wait. */
typedef struct mw_token {
    const char *begin;
    double number;
    const char *end;
    mw_unit unit;
    mw_token_kind kind;
} mw_token;

/* The state of reading one formula or statement. */
typedef struct mw_reading {
    mw_token now;             /* the token looked at */
    const char *before_begin; /* the token in front of it */
    const char *at;           /* the next byte to read */
    const char *before_end;
    const char *base; /* text of the source: spans count from here */
    const char *end;
    mw_token_kind before; /* END at the beginning */
    uint32_t source;
    uint32_t depth;   /* constructs that stand open */
    uint32_t height;  /* of the tree read last */
    uint32_t pending; /* children that wait for their list, from the end of links[] downwards */
    uint32_t hole;    /* the node that stands for whatever could not be read, or MW_NONE */
    bool commas;      /* values are parted by commas here, so `1,5` is two of them */
    bool joiners;     /* the words `with`, `by`, `step` and `show` are no units (what if) */
    bool fields;      /* NAME VALUE pairs are read (mould) */
    bool failed;      /* something was reported */
    bool quiet;       /* what follows the fault just reported is not reported, up to the next comma,
                         closing bracket or end */
    bool no_memory;
    mw_ast *ast;
    mw_measure *measure;
    mw_diags *diags;
    uint32_t
        node_count; /* of the tree when reading began, to go back to where nothing comes of it */
    uint32_t link_count;
    uint32_t part_count;
    uint32_t item_count;
} mw_reading;

/* Goes on to the next token. */
void mw_lexer_next(mw_reading *reading);

/* Returns the first byte at or behind `at` that is no blank, comment or line joint. */
const char *mw_lexer_skip(const char *at, const char *end);

/* Returns the end of the name characters from `at` on. */
const char *mw_lexer_word_end(const char *at, const char *end);

/* Returns the kind of a word: one of the reserved ones, else NAME. */
mw_token_kind mw_lexer_word_kind(const char *at, size_t length);

/* Reads a number or date from the digit or point at `at`, with the unit behind it, into the token. */
void mw_lexer_number(mw_reading *reading, const char *at);

/* Reads the unit at `at` where a unit has to stand. Returns its end; reports where there is none. */
const char *mw_lexer_unit(mw_reading *reading, const char *at, mw_unit *unit);

/* Adds an error about the bytes from `begin` to `end` and marks the reading as failed. Returns NULL where
 * nothing more should be said. */
mw_diag *mw_lexer_error(mw_reading *reading, mw_code code, mw_str where, const char *format, ...)
    MW_PRINTF(4, 5);

/* Returns the bytes between two places. */
static inline mw_str mw_lexer_piece(const char *begin, const char *end)
{
    return (mw_str){begin, (size_t)(end - begin)};
}

/* Returns how many bytes of a piece to show in a message, for `%.*s`: whole characters, on one line. */
int mw_lexer_shown(mw_str piece);

/* Whether the character at `at` (before `end`) may begin a name. */
bool mw_lexer_is_letter(const char *at, const char *end);

#endif
