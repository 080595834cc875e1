/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Why: the derivation of a value as a tree, down to inputs. */
#include "parts.h"

#include <math.h>

#include "mouldwright/memory.h"

#define NODES_MAX 4000
#define DEPTH_MAX 40

/* A derivation being written. */
typedef struct deriving {
    mw_job *job;
    mw_why_node *nodes;
    uint32_t *cells; /* by node */
    uint32_t count, capacity, cell_capacity;
    bool lost;
} deriving;

typedef struct child_list {
    uint32_t *items;
    uint32_t count, capacity;
    bool lost;
} child_list;

static void take_child(void *context, uint32_t cell)
{
    child_list *list = context;
    void *items = list->items;
    if (!mw_memory_grow32(&items, &list->capacity, list->count + 1, sizeof *list->items)) {
        list->lost = true;
        return;
    }
    list->items = items;
    list->items[list->count++] = cell;
}

static mw_why_node *add_node(deriving *tree, uint32_t cell)
{
    void *nodes = tree->nodes;
    void *cells = tree->cells;
    if (!mw_memory_grow32(&nodes, &tree->capacity, tree->count + 1, sizeof *tree->nodes)) {
        tree->lost = true;
        return NULL;
    }
    tree->nodes = nodes;
    if (!mw_memory_grow32(&cells, &tree->cell_capacity, tree->count + 1, sizeof *tree->cells)) {
        tree->lost = true;
        return NULL;
    }
    tree->cells = cells;
    tree->cells[tree->count] = cell;
    tree->nodes[tree->count] = (mw_why_node){.from = job_nowhere()};
    return &tree->nodes[tree->count++];
}

/* The name below a parent: without the mould, and without the step, where they are the same. */
static mw_str short_name(const deriving *tree, mw_str full, uint32_t cell, uint32_t parent)
{
    const build *in = tree->job->build;
    label own = build_label_of(in, cell);
    label above =
        parent == MW_NONE ? (label){.mould = MW_NONE, .slot = MW_NONE} : build_label_of(in, parent);
    if (own.mould == MW_NONE || own.mould != above.mould) {
        return full;
    }
    const mould *of = &in->moulds[own.mould];
    size_t skip = of->name.length + 1;
    const slot *to = &of->kit->slots[own.slot];
    if (to->step != MW_NONE && to->step == of->kit->slots[above.slot].step) {
        skip += of->kit->recipe->steps[to->step].name.length + 1;
    }
    return skip < full.length ? (mw_str){full.at + skip, full.length - skip} : full;
}

static mw_str text_of(deriving *tree, mw_text *text)
{
    mw_str made = text->failed
                      ? (mw_str){0}
                      : job_copy(tree->job->scratch, (mw_str){mw_text_chars(text), text->length});
    tree->lost = tree->lost || !made.at;
    mw_text_free(text);
    return made;
}

/* What the layers of a slot say: whether it was set, and what it usually is. */
static void note_layers(deriving *tree, mw_why_node *node, uint32_t cell, label of)
{
    const build *in = tree->job->build;
    const mould *own = &in->moulds[of.mould];
    const layer *set = own->layers[of.slot];
    const slot *to = &own->kit->slots[of.slot];
    if (own->cells[of.slot] != cell) {
        node->note = mw_str_of("the usual value");
        node->source = to->source;
        return;
    }
    if (!set) {
        node->source = to->source;
        if (to->kind == SLOT_RULE || to->kind == SLOT_STANDARD) {
            node->note = mw_str_of("rule of the program");
        } else if (to->kind == SLOT_PLAN) {
            node->note = mw_str_of("from the calendar");
        }
        return;
    }
    node->overridden = set->rank != RANK_FIELD;
    node->note = mw_str_of(set->rank == RANK_FIELD      ? "given in the mould's line"
                           : set->rank == RANK_JOB_LINE ? "from the job's line"
                                                        : "set in the job");
}

static void note_global(deriving *tree, mw_why_node *node, uint32_t cell)
{
    const build *in = tree->job->build;
    for (uint32_t i = 0; i < in->global_count; i++) {
        const global *of = &in->globals[i];
        if (of->cell == cell) {
            node->source = of->source;
            node->overridden = of->set != NULL;
            node->note = of->set       ? mw_str_of("set in the job")
                         : of->planned ? mw_str_of("from the calendar")
                         : of->sum_of  ? mw_str_of("sum over the moulds")
                                       : (mw_str){0};
            node->from = node->from.source == MW_NONE ? of->formula : node->from;
            return;
        }
    }
}

static void fill_node(deriving *tree, uint32_t at, uint32_t cell, uint32_t parent, uint32_t depth)
{
    build *in = tree->job->build;
    mw_why_node *node = &tree->nodes[at];
    mw_text full = {0};
    mw_job_cell_words(tree->job, cell, &full);
    node->full = text_of(tree, &full);
    node->name = short_name(tree, node->full, cell, parent);
    node->value = mw_sheet_value(in->sheet, cell);
    node->type = mw_sheet_type(in->sheet, cell);
    node->unit = mw_sheet_unit(in->sheet, cell);
    node->from = mw_sheet_formula(in->sheet, cell);
    node->depth = depth;
    label of = build_label_of(in, cell);
    if (of.mould != MW_NONE) {
        note_layers(tree, node, cell, of);
    } else {
        note_global(tree, node, cell);
    }
    if (node->from.source != MW_NONE) {
        node->formula = mw_sources_piece(tree->job->sources, node->from);
    }
}

static bool seen_before(const deriving *tree, uint32_t cell)
{
    for (uint32_t i = 0; i + 1 < tree->count; i++) {
        if (tree->cells[i] == cell) {
            return true;
        }
    }
    return false;
}

/* The steps that led to a planned step, the newest first, each with what it took; in the end the start of the job. */
static void derive_chain(deriving *tree, uint32_t s, uint32_t depth)
{
    const plan_node *plan = tree->job->build->plan;
    for (; s != MW_NONE; s = plan_node_before(plan, s)) {
        uint32_t m;
        uint32_t step;
        if (plan_node_idle(plan, s)) {
            continue;
        }
        plan_node_place(plan, s, &m, &step);
        uint32_t cell = mw_job_cell(tree->job, m, step, "end");
        if (cell == MW_NONE || tree->count >= NODES_MAX || !add_node(tree, cell)) {
            return;
        }
        fill_node(tree, tree->count - 1, cell, MW_NONE, depth);
        mw_text note = {0};
        plan_node_link_words(plan, s, &note);
        tree->nodes[tree->count - 1].note = text_of(tree, &note);
    }
    uint32_t start = global_find(tree->job->build, mw_str_of("job.start"));
    if (start != MW_NONE && tree->count < NODES_MAX) {
        uint32_t cell = tree->job->build->globals[start].cell;
        if (add_node(tree, cell)) {
            fill_node(tree, tree->count - 1, cell, MW_NONE, depth);
        }
    }
}

static void derive(deriving *tree, uint32_t cell, uint32_t parent, uint32_t depth);

/* A date from the calendar: what the step itself takes, and what led to it. */
static void derive_planned(deriving *tree, label of, uint32_t cell, uint32_t depth)
{
    static const char *const own[] = {"hours", "machine_hours", "crew", "sessions", "wait"};
    build *in = tree->job->build;
    const slot *to = of.mould == MW_NONE ? NULL : &in->moulds[of.mould].kit->slots[of.slot];
    uint32_t s = !to || to->step == MW_NONE ? plan_node_last(in->plan, of.mould)
                                            : plan_node_step(in->plan, of.mould, to->step);
    for (size_t i = 0; to && to->step != MW_NONE && i < sizeof own / sizeof *own; i++) {
        uint32_t input = mw_job_cell(tree->job, of.mould, to->step, own[i]);
        if (input != MW_NONE && mw_sheet_value(in->sheet, input) != 0.0) {
            derive(tree, input, cell, depth);
        }
    }
    if (to && to->step != MW_NONE) {
        s = plan_node_before(in->plan, s);
    }
    derive_chain(tree, s, depth);
}

/* Writes a cell and what it reads, depth first; a cell met again is only named. */
static void derive(deriving *tree, uint32_t cell, uint32_t parent, uint32_t depth)
{
    if (tree->count >= NODES_MAX || !add_node(tree, cell)) {
        return;
    }
    uint32_t at = tree->count - 1;
    fill_node(tree, at, cell, parent, depth);
    child_list children = {0};
    mw_sheet_reads(tree->job->build->sheet, cell, take_child, &children);
    if (children.count > 0 && seen_before(tree, cell)) {
        tree->nodes[at].note = mw_str_of("see above");
        children.count = 0;
    }
    label of = build_label_of(tree->job->build, cell);
    bool planned = of.mould != MW_NONE &&
                   tree->job->build->moulds[of.mould].kit->slots[of.slot].kind == SLOT_PLAN;
    bool ready = tree->job->build->plan && tree->nodes[at].note.length > 0 &&
                 mw_str_is(tree->nodes[at].note, "from the calendar");
    if (depth == 0 && tree->job->build->plan && (planned || ready)) {
        derive_planned(tree, of, cell, 1);
    }
    for (uint32_t i = 0; i < children.count && depth < DEPTH_MAX && !planned && !ready; i++) {
        derive(tree, children.items[i], cell, depth + 1);
    }
    tree->lost = tree->lost || children.lost;
    mw_memory_give(children.items);
}

/* The cell that a path means, or MW_NONE for a list. */
static mw_status path_cell(mw_job *job, const mw_node *path, uint32_t *cell, mw_diags *diags)
{
    mw_path names = {
        job->ast.parts + path->a, path->count, {job->ast.source, path->begin, path->end}};
    mw_reference found;
    mw_status status = job->build->scope.find(job->build->scope.context, &names, &found, diags);
    *cell = MW_NONE;
    if (status == MW_NOT_FOUND) {
        mw_str name = mw_sources_piece(job->sources, names.span);
        mw_diag *diag = mw_diags_error(diags, MW_CODE_UNKNOWN_NAME, names.span,
                                       "there is no `%.*s`", (int)name.length, name.at);
        mw_text better = {0};
        if (job->build->scope.suggest(job->build->scope.context, &names, &better)) {
            mw_diag_try(diags, diag, "%s", mw_text_chars(&better));
        }
        mw_text_free(&better);
        return MW_FAILED;
    }
    if (status == MW_OK && !found.list && !found.constant) {
        *cell = found.slot;
    }
    return status;
}

/* What a list over moulds or steps is made of; a list of the user's own has a cell for itself. */
static mw_status derive_elements(deriving *tree, const mw_node *path, mw_diags *diags)
{
    mw_job *job = tree->job;
    mw_path names = {
        job->ast.parts + path->a, path->count, {job->ast.source, path->begin, path->end}};
    mw_reference found;
    mw_status status = job->build->scope.find(job->build->scope.context, &names, &found, diags);
    if (status != MW_OK || !found.list) {
        return status;
    }
    uint32_t *cells = mw_arena_get(job->scratch, ((size_t)found.count + 1) * sizeof *cells);
    if (!cells) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < found.count; i++) {
        cells[i] = found.slots[i]; /* lent until the next look-up */
    }
    for (uint32_t i = 0; i < found.count; i++) {
        derive(tree, cells[i], MW_NONE, 1);
    }
    return MW_OK;
}

/* A formula that is no single name: its value, and below it each name that it reads. */
static mw_status derive_formula(deriving *tree, const mw_statement *statement, mw_diags *diags)
{
    mw_job *job = tree->job;
    double values[3] = {(double)NAN, (double)NAN, (double)NAN};
    mw_answer answer = {.values = values, .room = 3};
    mw_status status = mw_sheet_try(job->build->sheet, statement->formula_span, &job->build->scope,
                                    &answer, diags);
    mw_why_node *node = status == MW_OK ? add_node(tree, MW_NONE) : NULL;
    if (!node) {
        return status == MW_OK ? MW_NO_MEMORY : status;
    }
    bool list = answer.meaning.shape == MW_SHAPE_LIST;
    node->value = answer.meaning.shape == MW_SHAPE_RANGE ? values[1]
                  : list                                 ? (double)NAN
                                                         : values[0];
    node->type = answer.meaning.type;
    node->unit = answer.meaning.unit;
    node->from = statement->formula_span;
    node->formula = mw_sources_piece(job->sources, statement->formula_span);
    node->note = list ? mw_str_of("a list") : (mw_str){0};
    for (uint32_t i = 0; i < job->ast.node_count; i++) {
        if (job->ast.nodes[i].kind != MW_NODE_PATH) {
            continue;
        }
        uint32_t cell = MW_NONE;
        status = path_cell(job, &job->ast.nodes[i], &cell, diags);
        if (status != MW_OK) {
            return status;
        }
        if (cell != MW_NONE) {
            derive(tree, cell, MW_NONE, 1);
        } else {
            status = derive_elements(tree, &job->ast.nodes[i], diags);
        }
        if (status != MW_OK) {
            return status;
        }
    }
    return MW_OK;
}

mw_status why(mw_job *job, const mw_statement *statement, mw_reply *reply, mw_diags *diags)
{
    deriving tree = {.job = job};
    const mw_node *root = &job->ast.nodes[statement->formula];
    uint32_t cell = MW_NONE;
    mw_status status = MW_OK;
    if (root->kind == MW_NODE_PATH) {
        status = path_cell(job, root, &cell, diags);
    }
    if (status == MW_OK && cell != MW_NONE) {
        derive(&tree, cell, MW_NONE, 0);
    } else if (status == MW_OK) {
        status = derive_formula(&tree, statement, diags);
    }
    if (status == MW_OK && !tree.lost) {
        mw_why_node *kept = mw_arena_get(job->scratch, (tree.count + 1) * sizeof *kept);
        for (uint32_t i = 0; kept && i < tree.count; i++) {
            kept[i] = tree.nodes[i];
        }
        reply->nodes = kept;
        tree.lost = !kept;
    }
    reply->kind = MW_REPLY_WHY;
    reply->node_count = tree.count;
    mw_memory_give(tree.nodes);
    mw_memory_give(tree.cells);
    return status == MW_OK && tree.lost ? MW_NO_MEMORY : status;
}
