/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The slots of a recipe: which quantities a mould made by it has, and of what kind. */
#include "parts.h"

#include "mouldwright/memory.h"

void slot_words(const kit *made, uint32_t at, mw_text *out)
{
    const slot *of = &made->slots[at];
    if (of->step != MW_NONE) {
        mw_text_add_str(out, made->recipe->steps[of->step].name);
        mw_text_addc(out, '.');
    }
    mw_text_add_str(out, of->quantity);
}

uint32_t kit_slot(const kit *made, uint32_t step, mw_str quantity)
{
    if (step == MW_NONE) {
        return mw_names_find(made->names, quantity);
    }
    char name[600];
    mw_str first = made->recipe->steps[step].name;
    if (first.length + 1 + quantity.length > sizeof name) {
        return MW_NONE;
    }
    size_t length = 0;
    for (size_t i = 0; i < first.length; i++) {
        name[length++] = first.at[i];
    }
    name[length++] = '.';
    for (size_t i = 0; i < quantity.length; i++) {
        name[length++] = quantity.at[i];
    }
    return mw_names_find(made->names, (mw_str){name, length});
}

uint32_t kit_step(const kit *made, mw_str name)
{
    for (uint32_t i = 0; i < made->recipe->step_count; i++) {
        if (mw_str_equal(made->recipe->steps[i].name, name)) {
            return i;
        }
    }
    return MW_NONE;
}

bool slot_settable(const slot *of)
{
    return of->kind != SLOT_RULE && of->kind != SLOT_PLAN;
}

/* Adds a slot. A name that is there already is an error, but for `own`: then the recipe's own goes before that of
 * the program. */
static mw_status add_slot(kit *made, const slot *wanted, bool own, mw_span at, mw_diags *diags)
{
    if (kit_slot(made, wanted->step, wanted->quantity) != MW_NONE) {
        if (own) {
            return MW_OK;
        }
        mw_str name = wanted->quantity;
        mw_diags_error(diags, MW_CODE_NAME_TAKEN, at,
                       "the recipe names something `%.*s`, which the program makes itself",
                       (int)name.length, name.at);
        return MW_FAILED;
    }
    void *slots = made->slots;
    if (!mw_memory_grow32(&slots, &made->slot_capacity, made->slot_count + 1,
                          sizeof *made->slots)) {
        return MW_NO_MEMORY;
    }
    made->slots = slots;
    made->slots[made->slot_count] = *wanted;
    made->slot_count++;
    mw_text name = {0};
    slot_words(made, made->slot_count - 1, &name);
    uint32_t id = name.failed
                      ? MW_NONE
                      : mw_names_add(made->names, (mw_str){mw_text_chars(&name), name.length});
    mw_text_free(&name);
    return id == MW_NONE ? MW_NO_MEMORY : MW_OK;
}

static mw_type money_type(const kit *made)
{
    mw_measure *measure = made->build->job->measure;
    return mw_money_type(measure, mw_money_base_of(measure));
}

/* The kind of a standard quantity. */
static mw_type standard_type(const kit *made, const char *unit)
{
    static const struct {
        const char *word;
        mw_type type;
    } words[] = {{"labour", MW_TYPE_LABOUR}, {"people", MW_TYPE_PEOPLE}, {"time", MW_TYPE_TIME},
                 {"truth", MW_TYPE_TRUTH},   {"date", MW_TYPE_DATE},     {"1", MW_TYPE_NUMBER}};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (mw_str_is(mw_str_of(unit), words[i].word)) {
            return words[i].type;
        }
    }
    if (mw_str_is(mw_str_of(unit), "money")) {
        return money_type(made);
    }
    size_t used = 0;
    mw_unit read = MW_UNIT_ONE;
    mw_measure *measure = made->build->job->measure;
    return mw_unit_read(measure, mw_str_of(unit), &used, &read) == MW_OK
               ? mw_unit_type(measure, read)
               : MW_TYPE_NUMBER;
}

static mw_unit shown_unit(const kit *made, mw_type type)
{
    return mw_unit_usual(made->build->job->measure, type);
}

/* The unit of a standard quantity: that of the table, where it is a unit. */
static mw_unit standard_unit(const kit *made, const char *unit, mw_type type)
{
    size_t used = 0;
    mw_unit read = MW_UNIT_ONE;
    bool is_unit =
        type != MW_TYPE_NUMBER &&
        mw_unit_read(made->build->job->measure, mw_str_of(unit), &used, &read) == MW_OK &&
        unit[used] == '\0';
    return is_unit ? read : shown_unit(made, type);
}

static mw_status add_rows(kit *made, uint32_t step, const mw_line_row *rows, uint32_t count,
                          mw_diags *diags)
{
    for (uint32_t i = 0; i < count; i++) {
        const mw_line_row *row = &rows[i];
        slot wanted = {.kind = SLOT_LINE,
                       .quantity = row->name,
                       .step = step,
                       .use = MW_NONE,
                       .row = row,
                       .formula = row->formula,
                       .source = row->source,
                       .type = row->type,
                       .unit = row->unit};
        mw_status status = add_slot(made, &wanted, false, row->name_at, diags);
        if (status != MW_OK) {
            return status;
        }
    }
    return MW_OK;
}

static mw_status add_standard_row(kit *made, const mw_standard_row *row, slot_kind kind,
                                  uint32_t step)
{
    mw_type type = standard_type(made, row->unit);
    slot wanted = {.kind = kind,
                   .quantity = mw_str_of(row->name),
                   .step = step,
                   .use = MW_NONE,
                   .formula = job_nowhere(),
                   .type = type,
                   .unit = standard_unit(made, row->unit, type)};
    return add_slot(made, &wanted, true, job_nowhere(), NULL);
}

static mw_status add_standard(kit *made, uint32_t step)
{
    for (const mw_standard_row *row = mw_standard_rows(); row->name; row++) {
        if (!row->usual) {
            continue;
        }
        mw_status status = add_standard_row(made, row, SLOT_STANDARD, step);
        if (status != MW_OK) {
            return status;
        }
    }
    return MW_OK;
}

/* The quantities that a use gives its step: {ending, kind}; the kinds of number follow from the use. */
static const struct {
    const char *ending;
    slot_kind kind;
    enum { TYPE_AMOUNT, TYPE_SHARE, TYPE_MONEY, TYPE_NAME } type;
} use_slots[] = {{"_net", SLOT_USE_NET, TYPE_AMOUNT}, {"_loss", SLOT_USE_LOSS, TYPE_SHARE},
                 {"", SLOT_USE_GROSS, TYPE_AMOUNT},   {"_lost", SLOT_RULE, TYPE_AMOUNT},
                 {"_cost", SLOT_RULE, TYPE_MONEY},    {"_material", SLOT_USE_MATERIAL, TYPE_NAME}};

static mw_status add_use(kit *made, uint32_t step, uint32_t use, mw_diags *diags)
{
    const mw_use_row *row = &made->recipe->steps[step].uses[use];
    for (size_t i = 0; i < sizeof use_slots / sizeof *use_slots; i++) {
        char *name = mw_arena_print(made->build->arena, "%.*s%s", (int)row->role.length,
                                    row->role.at, use_slots[i].ending);
        if (!name) {
            return MW_NO_MEMORY;
        }
        slot wanted = {.kind = use_slots[i].kind,
                       .quantity = mw_str_of(name),
                       .step = step,
                       .use = use,
                       .use_row = row,
                       .formula = job_nowhere(),
                       .source = row->source,
                       .type = row->type,
                       .unit = row->unit};
        switch (use_slots[i].type) {
        case TYPE_AMOUNT:
            break;
        case TYPE_SHARE:
            wanted.type = MW_TYPE_NUMBER;
            wanted.unit = MW_UNIT_ONE;
            break;
        case TYPE_MONEY:
            wanted.type = money_type(made);
            wanted.unit = shown_unit(made, wanted.type);
            break;
        case TYPE_NAME:
            wanted.type = MW_TYPE_TEXT;
            wanted.unit = MW_UNIT_ONE;
            break;
        }
        if (wanted.kind == SLOT_USE_NET) {
            wanted.formula = row->amount;
        } else if (wanted.kind == SLOT_USE_LOSS) {
            wanted.formula = row->loss;
        }
        mw_status status = add_slot(made, &wanted, false, row->role_at, diags);
        if (status != MW_OK) {
            return status;
        }
    }
    return MW_OK;
}

/* What the program makes, for a step and for the mould. */
typedef struct made_row {
    const char *name;
    slot_kind kind;
    const char *unit; /* as in standard rows; "date" */
} made_row;

static const made_row step_made[] = {{"material_cost", SLOT_RULE, "money"},
                                     {"labour_cost", SLOT_RULE, "money"},
                                     {"machine_cost", SLOT_RULE, "money"},
                                     {"outside_posted", SLOT_RULE, "money"},
                                     {"overhead_cost", SLOT_RULE, "money"},
                                     {"cost", SLOT_RULE, "money"},
                                     {"energy_cost", SLOT_RULE, "money"},
                                     {"start", SLOT_PLAN, "date"},
                                     {"end", SLOT_PLAN, "date"},
                                     {"waiting", SLOT_PLAN, "time"},
                                     {"queueing", SLOT_PLAN, "time"},
                                     {"beyond_data", SLOT_PLAN, "time"},
                                     {"slack", SLOT_PLAN, "time"},
                                     {"sets_date", SLOT_PLAN, "truth"}};

static const made_row mould_made[] = {{"material_cost", SLOT_RULE, "money"},
                                      {"labour_cost", SLOT_RULE, "money"},
                                      {"machine_cost", SLOT_RULE, "money"},
                                      {"outside_posted", SLOT_RULE, "money"},
                                      {"overhead_cost", SLOT_RULE, "money"},
                                      {"cost", SLOT_RULE, "money"},
                                      {"margin_cost", SLOT_RULE, "money"},
                                      {"price", SLOT_RULE, "money"},
                                      {"energy_cost", SLOT_RULE, "money"},
                                      {"contingency_cost", SLOT_RULE, "money"},
                                      {"markup_cost", SLOT_RULE, "money"},
                                      {"start", SLOT_PLAN, "date"},
                                      {"ready", SLOT_PLAN, "date"},
                                      {"waiting", SLOT_PLAN, "time"},
                                      {"queueing", SLOT_PLAN, "time"},
                                      {"working", SLOT_PLAN, "time"},
                                      {"late", SLOT_PLAN, "time"}};

static mw_status add_made(kit *made, uint32_t step, const made_row *rows, size_t count,
                          mw_diags *diags)
{
    mw_span at = step == MW_NONE ? job_nowhere() : made->recipe->steps[step].name_at;
    for (size_t i = 0; i < count; i++) {
        bool date = mw_str_is(mw_str_of(rows[i].unit), "date");
        mw_type type = date ? (mw_type)MW_TYPE_DATE : standard_type(made, rows[i].unit);
        slot wanted = {.kind = rows[i].kind,
                       .quantity = mw_str_of(rows[i].name),
                       .step = step,
                       .use = MW_NONE,
                       .formula = job_nowhere(),
                       .type = type,
                       .unit = shown_unit(made, type)};
        mw_status status = add_slot(made, &wanted, false, at, diags);
        if (status != MW_OK) {
            return status;
        }
    }
    return MW_OK;
}

/* What may be set for each mould, whatever its recipe. */
static mw_status add_dues(kit *made)
{
    static const mw_standard_row rows[] = {{.name = "due", .unit = "date"},
                                           {.name = "urgency", .unit = "1"}};
    mw_status status = MW_OK;
    for (size_t i = 0; status == MW_OK && i < sizeof rows / sizeof *rows; i++) {
        status = add_standard_row(made, &rows[i], SLOT_STANDARD, MW_NONE);
    }
    return status;
}

/* Sums over the steps; a line of the recipe that has the name goes first. */
static mw_status add_sums(kit *made)
{
    for (const mw_standard_row *row = mw_standard_rows(); row->name; row++) {
        if (!row->summed) {
            continue;
        }
        mw_status status = add_standard_row(made, row, SLOT_RULE, MW_NONE);
        if (status != MW_OK) {
            return status;
        }
    }
    static const struct {
        const char *quantity;
        mw_type type;
    } used[] = {{"resin", MW_TYPE_MASS}, {"cloth", MW_TYPE_AREA}, {"pots", MW_TYPE_NUMBER}};
    mw_status status = MW_OK;
    for (size_t i = 0; status == MW_OK && i < sizeof used / sizeof *used; i++) {
        bool number = used[i].type == MW_TYPE_NUMBER;
        slot wanted = {.kind = SLOT_RULE,
                       .quantity = mw_str_of(used[i].quantity),
                       .step = MW_NONE,
                       .use = MW_NONE,
                       .formula = job_nowhere(),
                       .type = used[i].type,
                       .unit = number ? MW_UNIT_ONE : shown_unit(made, used[i].type)};
        status = add_slot(made, &wanted, true, job_nowhere(), NULL);
    }
    return status;
}

static mw_status layout_step(kit *made, uint32_t step, mw_diags *diags)
{
    const mw_step_row *row = &made->recipe->steps[step];
    mw_status status = add_rows(made, step, row->lines, row->line_count, diags);
    for (uint32_t use = 0; status == MW_OK && use < row->use_count; use++) {
        status = add_use(made, step, use, diags);
    }
    if (status == MW_OK) {
        status = add_standard(made, step);
    }
    if (status == MW_OK) {
        status = add_made(made, step, step_made, sizeof step_made / sizeof *step_made, diags);
    }
    return status;
}

mw_status kit_layout(kit *made, mw_span at, mw_diags *diags)
{
    const mw_recipe *recipe = made->recipe;
    (void)at;
    mw_status status = add_rows(made, MW_NONE, recipe->lines, recipe->line_count, diags);
    if (status == MW_OK) {
        status = add_made(made, MW_NONE, mould_made, sizeof mould_made / sizeof *mould_made, diags);
    }
    if (status == MW_OK) {
        status = add_dues(made);
    }
    if (status == MW_OK) {
        status = add_sums(made);
    }
    for (uint32_t step = 0; status == MW_OK && step < recipe->step_count; step++) {
        status = layout_step(made, step, diags);
    }
    return status;
}
