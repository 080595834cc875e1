/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a sheet is made of inside.
 *
 * Cells have ids. Those that are computed also have a position in an order in which whatever a
 * cell reads comes before it; code lies in that order as far as possible, so that long stretches
 * run in one go. An open edit keeps what old cells are to become in drafts beside them; new
 * cells are written in place behind the old ones, out of sight until the edit is committed. */
#ifndef MW_SHEET_PARTS_H
#define MW_SHEET_PARTS_H

#include "marks.h"
#include "mouldwright/memory.h"
#include "mouldwright/names.h"
#include "mouldwright/sheet.h"

typedef enum cell_kind {
    CELL_EMPTY, /* no definition, or taken out */
    CELL_VALUE,
    CELL_FORMULA,
    CELL_BOUND,   /* to a template */
    CELL_SUM,     /* of `given` cells, over partial sums */
    CELL_ELEMENT, /* of a list or range line */
    CELL_PARTIAL, /* sum */
    CELL_HUB,     /* stands for an outside node in the order; has no value */
    CELL_OUTPUT   /* of an outside node */
} cell_kind;

typedef enum cell_state {
    STATE_SETTLED,
    STATE_WAITING, /* to be compiled, or put in order */
    STATE_SUSPECT, /* reads something that may change its kind */
    STATE_OPEN,    /* being worked on: on the stack, waiting for others */
    STATE_FAILED   /* diagnosed */
} cell_state;

enum {
    FLAG_TYPE_GIVEN = 1, /* declared; else inferred */
    FLAG_UNIT_GIVEN = 2,
    FLAG_OWN_SCOPE = 4, /* compiled in a scope of its owner's */
    FLAG_LISTS = 8      /* has entries in list_uses */
};

/* What a cell is. */
typedef struct cell {
    uint32_t name; /* id in sheet->names, MW_NONE: nameless; ELEMENT and PARTIAL: the owner's id */
    mw_span formula; /* BOUND: of the template */
    mw_type type;
    mw_unit unit;
    uint32_t first;  /* elements or partial sums: the first of a row of `length` hidden cells */
    uint32_t length; /* hidden cells; 0: none */
    uint32_t part;   /* FORMULA being loaded: its shape, see like.h; BOUND: template; HUB: outside
                        node; OUTPUT: its hub */
    uint32_t draft;  /* in the open edit; MW_NONE: none */
    uint8_t kind;    /* cell_kind */
    uint8_t shape;   /* mw_shape */
    uint8_t state;   /* cell_state; SETTLED outside of an edit */
    uint8_t flags;
} cell;

typedef struct code_range {
    uint32_t begin; /* MW_NONE: an outside node's hub */
    uint32_t count; /* 0: nothing to run */
} code_range;

/* What recalculation needs of a cell. */
typedef struct wiring {
    code_range code;
    uint32_t position;                   /* MW_NONE: is not computed */
    uint32_t first_reader, reader_count; /* in sheet->readers; some may have been redefined since */
    uint32_t late; /* readers added since then: a list in sheet->late; MW_NONE: end */
} wiring;

typedef struct late_reader {
    uint32_t read, reader;
    uint32_t next;
} late_reader;

/* A formula names a list line. Its code may read any of the elements, or only know how many
 * there are. */
typedef struct list_use {
    uint32_t line, reader;
} list_use;

typedef struct id_run {
    uint32_t first, count;
} id_run;

/* A name or number in a formula that is loaded. */
typedef struct known_word {
    uint32_t begin; /* in the source */
    uint32_t length;
    uint32_t name; /* MW_NONE: none; or LIKE_IS_NUMBER. Its hash until it is looked up */
} known_word;

/* The words of the formulas of cells `first_cell` up to `end_cell`, which know the first of
 * theirs in wiring.first_reader. */
typedef struct likes likes; /* see like.h */

typedef struct known_words {
    const known_word *words; /* NULL: none */
    const known_word *at;    /* of the formula at hand, from here on */
    const char *text;        /* of the source */
    uint32_t first_cell, end_cell;
    bool scattered; /* what cells name is far from them in memory */
    likes *likes;
} known_words;

typedef struct outside_node {
    mw_outside compute;
    void *context;
    uint32_t *inputs;
    double *seen; /* inputs of the last call; then those of a lane */
    double *results;
    const double **columns; /* while lanes are run: of the inputs that differ from lane to lane, */
    uint32_t *varying;      /* which these are, */
    uint32_t varying_count;
    double **outs; /* and the columns of the outputs; NULL: it is given */
    uint32_t input_count;
    uint32_t first_output, output_count;
    uint32_t hub;
    bool computed; /* `seen` is valid */
} outside_node;

struct mw_template {
    mw_span span;
    mw_meaning meaning;
    mw_program code; /* cells: ports, and from `result` on the results */
    uint32_t *ends;  /* code->count after each result */
    uint32_t *ports;
    mw_type *port_types;
    uint32_t port_count;
    uint32_t result;
    uint32_t id; /* in sheet->templates */
    mw_type type;
    bool folds; /* a constant without calls: bound as a value */
};

struct mw_sheet {
    mw_measure *measure;
    mw_sources *sources;
    mw_values *values;
    mw_compiler *compiler;
    mw_host host;
    mw_sheet_owner owner;
    mw_scope scope;

    mw_names *names;
    uint32_t *cell_of_name; /* MW_NONE: none */
    uint32_t name_capacity;
    uint32_t lost_names; /* at most so many have no cell, or an empty one */

    cell *cells;
    wiring *wires;
    uint32_t cell_capacity;
    uint32_t count; /* cells to be seen */
    uint32_t total; /* with those of the open edit */
    id_run *free_runs;
    uint32_t free_count, free_capacity;

    mw_program code;
    uint32_t waste;  /* instructions of no cell */
    uint32_t *order; /* by position: the cell; MW_NONE: a hole */
    uint32_t positions, order_capacity;
    uint32_t holes;
    uint64_t *breaks; /* by position: code does not go on from that of the position before */
    uint32_t break_words;
    uint32_t break_count;
    marks marks;

    uint32_t *readers;
    uint32_t reader_count;
    late_reader *late;
    uint32_t late_count, late_capacity;
    list_use *list_uses;
    uint32_t list_use_count, list_use_capacity;

    outside_node **nodes; /* NULL: a free place */
    uint32_t node_count, node_capacity;
    mw_template **templates;
    uint32_t template_count, template_capacity;

    mw_ast ast;
    uint32_t *slots; /* what a reference to a list line hands out; bind maps */
    uint32_t slot_capacity;
    known_words known;  /* while a source is loaded */
    mw_program trial;   /* code of formulas computed once */
    mw_diags kept_back; /* messages of a first go, see prepare.c */
    mw_edit *edit;      /* the open one */
    bool preparing;
};

/* What an old cell is to become. */
typedef struct draft {
    uint32_t id;
    cell cell;
    code_range code;
    double value;   /* where it has no code */
    uint32_t given; /* see edit_given() */
} draft;

#define READS_END UINT32_C(0x80000000) /* ids of cells are below it */

struct mw_edit {
    mw_sheet *sheet;
    bool no_memory;
    bool refused; /* a definition could not be read */
    draft *drafts;
    uint32_t draft_count, draft_capacity;
    uint32_t *pool; /* cells of bindings and sums */
    uint32_t pool_count, pool_capacity;
    const mw_scope **scopes;
    uint32_t scope_count, scope_capacity;
    uint32_t *nodes; /* in sheet->nodes, made by this edit */
    uint32_t node_count, node_capacity;
    id_run *taken; /* from sheet->free_runs */
    uint32_t taken_count, taken_capacity;
    uint32_t constants; /* those from here on are the edit's own */

    /* while preparing */
    mw_diags *diags;
    uint32_t *stack; /* cells to work on, see walk.c */
    uint32_t stack_count, stack_capacity;
    uint32_t loop;      /* a cell on the stack that is needed by the top one; MW_NONE: none */
    bool broken;        /* something needed has failed */
    uint32_t *sequence; /* computed cells without a position, in the order they are to have */
    uint32_t sequence_count, sequence_capacity;
    uint32_t *suspects;
    uint32_t suspect_count, suspect_capacity;
    uint32_t *moves; /* computed cells that go to the end of the order, in this order */
    uint32_t move_count, move_capacity;
    list_use *uses; /* found by the check at hand; then all */
    uint32_t use_count, use_capacity;
    uint32_t *ends; /* of the results of the formula at hand, and their cells */
    uint32_t end_capacity;
    uint32_t code_start;
    uint32_t late_start;
    uint32_t edges;  /* at most so many that the cells of the edit read */
    uint32_t *reads; /* of each cell of the sequence in its turn, READS_END on its last */
    uint32_t read_count, read_capacity;
    uint32_t noted; /* cells whose reads stand there; all of the sequence, or they are of no use */
    bool bulk; /* so much is new that readers are put in a row at commit, not added one by one */
    uint32_t *readers;    /* room for that */
    uint32_t suggestions; /* spent on misspelt names */
};

/* Makes an array hold at least `needed` items. True, or no memory and nothing has changed. */
#define grow_array(items, capacity, needed) \
    ((items) = grow_block((items), &(capacity), (needed), sizeof *(items)), (capacity) >= (needed))

static inline void *grow_block(void *items, uint32_t *capacity, uint32_t needed, size_t item_size)
{
    if (needed > *capacity) {
        const bool grown = mw_memory_grow32(&items, capacity, needed, item_size);
        (void)grown; /* the capacity tells */
    }
    return items;
}

/* ---- cells as the open edit has them ---- */

static inline cell *cell_now(const mw_sheet *sheet, uint32_t id)
{
    cell *c = &sheet->cells[id];
    return c->draft == MW_NONE ? c : &sheet->edit->drafts[c->draft].cell;
}

static inline code_range *code_now(const mw_sheet *sheet, uint32_t id)
{
    const cell *c = &sheet->cells[id];
    return c->draft == MW_NONE ? &sheet->wires[id].code : &sheet->edit->drafts[c->draft].code;
}

/* Whether the cell has to be computed: has code or is a hub. */
static inline bool code_computes(code_range code)
{
    return code.count != 0 || code.begin == MW_NONE;
}

#endif
