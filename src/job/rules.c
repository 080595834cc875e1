/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The rules of the program, written as formulas of the language so that `why` can show them: losses, postings (each
 * rounded once), sums over steps, margin. */
#include "parts.h"

#include "mouldwright/memory.h"

/* A text of rules kept for a recipe, so that building again adds no new source. */
struct rule_text {
    const mw_recipe *recipe;
    uint32_t source;
};

typedef struct rule_writer {
    kit *made;
    mw_text text;
    const char *zero_money; /* "0 EUR" */
} rule_writer;

/* Starts the formula of a slot; false: there is no such slot made by the program, or it has a formula. */
static bool rule_begin(rule_writer *writer, uint32_t step, mw_str quantity, slot **out)
{
    uint32_t at = kit_slot(writer->made, step, quantity);
    if (at == MW_NONE) {
        return false;
    }
    slot *of = &writer->made->slots[at];
    if (of->kind == SLOT_LINE || of->formula.source != MW_NONE) {
        return false;
    }
    slot_words(writer->made, at, &writer->text);
    mw_text_adds(&writer->text, " = ");
    of->formula.begin = (uint32_t)writer->text.length;
    of->formula.source = MW_NONE - 1; /* set when the text has its source */
    *out = of;
    return true;
}

static void rule_end(rule_writer *writer, slot *of)
{
    of->formula.end = (uint32_t)writer->text.length;
    mw_text_addc(&writer->text, '\n');
}

static void write_rule(rule_writer *writer, uint32_t step, mw_str quantity, const char *formula)
{
    slot *of;
    if (rule_begin(writer, step, quantity, &of)) {
        mw_text_adds(&writer->text, formula);
        rule_end(writer, of);
    }
}

/* ROLE = ROLE_net / (1 - ROLE_loss) and what follows from it. */
static void write_use(rule_writer *writer, uint32_t step, const mw_use_row *use)
{
    static const struct {
        const char *ending;
        const char *formula; /* @ stands for the role */
    } rules[] = {{"_loss", "0"},
                 {"", "@_net / (1 - @_loss)"},
                 {"_lost", "@ - @_net"},
                 {"_cost", "round_money(@ * @.price)"}};
    for (size_t i = 0; i < sizeof rules / sizeof *rules; i++) {
        mw_text name = {0};
        mw_text_add_str(&name, use->role);
        mw_text_adds(&name, rules[i].ending);
        slot *of;
        if (!name.failed &&
            rule_begin(writer, step, (mw_str){mw_text_chars(&name), name.length}, &of)) {
            for (const char *c = rules[i].formula; *c; c++) {
                if (*c == '@') {
                    mw_text_add_str(&writer->text, use->role);
                } else {
                    mw_text_addc(&writer->text, *c);
                }
            }
            rule_end(writer, of);
        }
        writer->text.failed = writer->text.failed || name.failed;
        mw_text_free(&name);
    }
}

static void write_material_cost(rule_writer *writer, uint32_t step)
{
    const mw_step_row *row = &writer->made->recipe->steps[step];
    slot *of;
    if (!rule_begin(writer, step, mw_str_of("material_cost"), &of)) {
        return;
    }
    for (uint32_t i = 0; i < row->use_count; i++) {
        mw_text_adds(&writer->text, i ? " + " : "");
        mw_text_add_str(&writer->text, row->uses[i].role);
        mw_text_adds(&writer->text, "_cost");
    }
    if (row->use_count == 0) {
        mw_text_adds(&writer->text, writer->zero_money);
    }
    rule_end(writer, of);
}

static bool has_global(const kit *made, mw_str base, const char *ending, mw_text *name)
{
    mw_text_clear(name);
    mw_text_adds(name, "shop.");
    mw_name_word(base, name);
    mw_text_adds(name, ending);
    made->build->lost = made->build->lost || name->failed;
    return !name->failed &&
           global_find(made->build, (mw_str){mw_text_chars(name), name->length}) != MW_NONE;
}

static void write_labour_cost(rule_writer *writer, uint32_t step, mw_text *name)
{
    const mw_step_row *row = &writer->made->recipe->steps[step];
    slot *of;
    if (!rule_begin(writer, step, mw_str_of("labour_cost"), &of)) {
        return;
    }
    if (row->trade.length > 0 && has_global(writer->made, row->trade, "_rate", name)) {
        mw_text_adds(&writer->text, "round_money(hours / shop.productive_share * ");
        mw_text_adds(&writer->text, mw_text_chars(name));
        mw_text_addc(&writer->text, ')');
    } else {
        mw_text_adds(&writer->text, writer->zero_money);
    }
    rule_end(writer, of);
}

static void write_machine_cost(rule_writer *writer, uint32_t step, mw_text *name)
{
    const mw_step_row *row = &writer->made->recipe->steps[step];
    slot *of;
    if (!rule_begin(writer, step, mw_str_of("machine_cost"), &of)) {
        return;
    }
    bool any = false;
    for (uint32_t i = 0; i < row->holds.count; i++) {
        if (has_global(writer->made, row->holds.items[i], "_rate", name)) {
            mw_text_adds(&writer->text, any ? " + " : "");
            mw_text_adds(&writer->text, "round_money(machine_hours * ");
            mw_text_adds(&writer->text, mw_text_chars(name));
            mw_text_addc(&writer->text, ')');
            any = true;
        }
    }
    if (!any) {
        mw_text_adds(&writer->text, writer->zero_money);
    }
    rule_end(writer, of);
}

/* What a step's machines draw, where the shop says so. */
static void write_energy_cost(rule_writer *writer, uint32_t step, mw_text *name)
{
    const mw_step_row *row = &writer->made->recipe->steps[step];
    slot *of;
    if (!rule_begin(writer, step, mw_str_of("energy_cost"), &of)) {
        return;
    }
    bool any = false;
    const bool priced = has_global(writer->made, mw_str_of("energy"), "_price", name);
    for (uint32_t i = 0; priced && i < row->holds.count; i++) {
        if (has_global(writer->made, row->holds.items[i], "_power", name)) {
            mw_text_addf(&writer->text, "%sround_money(machine_hours * %s * shop.energy_price)",
                         any ? " + " : "", mw_text_chars(name));
            any = true;
        }
    }
    if (!any) {
        mw_text_adds(&writer->text, writer->zero_money);
    }
    rule_end(writer, of);
}

static void write_step(rule_writer *writer, uint32_t step)
{
    const mw_step_row *row = &writer->made->recipe->steps[step];
    mw_text name = {0};
    for (const mw_standard_row *standard = mw_standard_rows(); standard->name; standard++) {
        if (standard->usual) {
            write_rule(writer, step, mw_str_of(standard->name), standard->usual);
        }
    }
    for (uint32_t i = 0; i < row->use_count; i++) {
        write_use(writer, step, &row->uses[i]);
    }
    write_material_cost(writer, step);
    write_labour_cost(writer, step, &name);
    write_machine_cost(writer, step, &name);
    write_energy_cost(writer, step, &name);
    bool outside = kit_slot(writer->made, step, mw_str_of("outside_cost")) != MW_NONE;
    write_rule(writer, step, mw_str_of("outside_posted"),
               outside ? "round_money(outside_cost)" : writer->zero_money);
    write_rule(writer, step, mw_str_of("overhead_cost"),
               "round_money(labour_cost * shop.overhead + material_cost * shop.overhead_material + "
               "machine_cost * shop.overhead_machine + outside_posted * shop.overhead_outside)");
    write_rule(writer, step, mw_str_of("cost"),
               "material_cost + labour_cost + machine_cost + energy_cost + outside_posted + "
               "overhead_cost");
    writer->text.failed = writer->text.failed || name.failed;
    mw_text_free(&name);
}

/* Whether a step has a quantity of that name. */
static bool some_step_has(const kit *made, mw_str quantity)
{
    for (uint32_t step = 0; step < made->recipe->step_count; step++) {
        if (kit_slot(made, step, quantity) != MW_NONE) {
            return true;
        }
    }
    return false;
}

static void write_sum(rule_writer *writer, const char *quantity, const char *zero)
{
    mw_str name = mw_str_of(quantity);
    slot *of;
    bool any = some_step_has(writer->made, name);
    if (!rule_begin(writer, MW_NONE, name, &of)) {
        return;
    }
    if (any) {
        mw_text_addf(&writer->text, "sum(steps.%s)", quantity);
    } else {
        mw_text_adds(&writer->text, zero);
    }
    rule_end(writer, of);
}

/* What all uses of materials of a kind come to in a mould. */
typedef struct used_kind {
    const char *quantity;
    const char *kind;
    mw_type type;
    const char *zero;
} used_kind;

static const used_kind used_kinds[] = {
    {"resin", "laminating resin", MW_TYPE_MASS, "0 kg"},
    {"cloth", "cloth", MW_TYPE_AREA, "0 m2"},
    {"pots", "mixing pot", MW_TYPE_NUMBER, "0"},
};

static void write_used(rule_writer *writer, const used_kind *wanted)
{
    const kit *made = writer->made;
    slot *of;
    if (!rule_begin(writer, MW_NONE, mw_str_of(wanted->quantity), &of)) {
        return;
    }
    bool any = false;
    for (uint32_t step = 0; step < made->recipe->step_count; step++) {
        const mw_step_row *row = &made->recipe->steps[step];
        for (uint32_t use = 0; use < row->use_count; use++) {
            const mw_material *material = made->usual_materials[made->first_use[step] + use];
            if (mw_same_name(material->kind, mw_str_of(wanted->kind)) &&
                row->uses[use].type == wanted->type) {
                mw_text_addf(&writer->text, "%s%.*s.%.*s", any ? " + " : "", (int)row->name.length,
                             row->name.at, (int)row->uses[use].role.length, row->uses[use].role.at);
                any = true;
            }
        }
    }
    mw_text_adds(&writer->text, any ? "" : wanted->zero);
    rule_end(writer, of);
}

/* A zero of a standard kind, as text. */
static const char *zero_of(const rule_writer *writer, const char *unit)
{
    static const struct {
        const char *unit;
        const char *zero;
    } zeros[] = {{"labour", "0 h"}, {"time", "0 h"}, {"people", "0"}, {"1", "0"},
                 {"mm", "0 mm"},    {"m", "0 m"},    {"kg", "0 kg"}};
    for (size_t i = 0; i < sizeof zeros / sizeof *zeros; i++) {
        if (mw_str_is(mw_str_of(unit), zeros[i].unit)) {
            return zeros[i].zero;
        }
    }
    return writer->zero_money;
}

static void write_mould(rule_writer *writer)
{
    static const char *const costs[] = {"material_cost", "labour_cost",    "machine_cost",
                                        "energy_cost",   "outside_posted", "overhead_cost",
                                        "cost"};
    for (size_t i = 0; i < sizeof costs / sizeof *costs; i++) {
        write_sum(writer, costs[i], writer->zero_money);
    }
    write_rule(
        writer, MW_NONE, mw_str_of("margin_cost"),
        "round_money((cost + contingency_cost + markup_cost) * shop.margin / (1 - shop.margin))");
    write_rule(writer, MW_NONE, mw_str_of("contingency_cost"),
               "round_money(cost * shop.contingency)");
    write_rule(writer, MW_NONE, mw_str_of("markup_cost"),
               "round_money((cost + contingency_cost) * shop.markup)");
    write_rule(writer, MW_NONE, mw_str_of("price"),
               "cost + contingency_cost + markup_cost + margin_cost");
    write_rule(writer, MW_NONE, mw_str_of("due"), "9999-12-31");
    write_rule(writer, MW_NONE, mw_str_of("urgency"), "1");
    for (const mw_standard_row *row = mw_standard_rows(); row->name; row++) {
        if (row->summed) {
            write_sum(writer, row->name, zero_of(writer, row->unit));
        }
    }
    for (size_t i = 0; i < sizeof used_kinds / sizeof *used_kinds; i++) {
        write_used(writer, &used_kinds[i]);
    }
}

uint32_t rules_source(mw_job *job, const mw_recipe *recipe, mw_str text)
{
    for (size_t i = 0; i < job->rule_text_count; i++) {
        if (job->rule_texts[i].recipe == recipe &&
            mw_str_equal(mw_sources_text(job->sources, job->rule_texts[i].source), text)) {
            return job->rule_texts[i].source;
        }
    }
    void *texts = job->rule_texts;
    if (!mw_memory_grow(&texts, &job->rule_text_capacity, job->rule_text_count + 1,
                        sizeof *job->rule_texts)) {
        return MW_NONE;
    }
    job->rule_texts = texts;
    uint32_t source = mw_sources_add(job->sources, mw_str_of("<program rules>"), text);
    if (source != MW_NONE) {
        job->rule_texts[job->rule_text_count++] = (struct rule_text){recipe, source};
    }
    return source;
}

mw_status rules_write(kit *made)
{
    mw_measure *measure = made->build->job->measure;
    char zero[16];
    const char *code = mw_currency_code(measure, mw_money_base_of(measure));
    zero[0] = '0';
    zero[1] = ' ';
    for (size_t i = 0; i < 4; i++) {
        zero[2 + i] = i < 3 ? code[i] : '\0';
    }
    rule_writer writer = {.made = made, .zero_money = zero};
    write_mould(&writer);
    for (uint32_t step = 0; step < made->recipe->step_count; step++) {
        write_step(&writer, step);
    }
    mw_str text = {mw_text_chars(&writer.text), writer.text.length};
    uint32_t source =
        writer.text.failed ? MW_NONE : rules_source(made->build->job, made->recipe, text);
    mw_text_free(&writer.text);
    if (source == MW_NONE) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < made->slot_count; i++) {
        if (made->slots[i].formula.source == MW_NONE - 1) {
            made->slots[i].formula.source = source;
        }
    }
    return MW_OK;
}
