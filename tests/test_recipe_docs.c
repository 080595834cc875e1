/* SPDX-License-Identifier: GPL-3.0-or-later */
/* docs/recipe-files.md says what the program reads: its files load, and its tables of standard quantities and
 * figures are those of the program. */
#include "recipe_files.h"

#include <stdlib.h>

#include "mouldwright/file.h"
#include "mouldwright/memory.h"

static char *read_page(void)
{
    char *text = NULL;
    size_t length = 0;
    assert_int_equal(mw_file_read("docs/recipe-files.md", 1 << 20, &text, &length), MW_OK);
    return text;
}

/* Writes each example below the path in its first line, `# shops/x.yaml`; returns how many there are. */
static size_t write_examples(const recipe_files *files, const char *page)
{
    static const char fence[] = "\n```yaml\n# ";
    size_t count = 0;
    for (const char *at = page; (at = strstr(at, fence)) != NULL; count++) {
        at += strlen(fence);
        const char *end = strstr(at, "\n```");
        size_t name_length = strcspn(at, "\n");
        assert_non_null(end);
        char name[80] = {0};
        char text[8000] = {0};
        assert_true(name_length < sizeof name);
        memcpy(name, at, name_length);
        at += name_length + 1;
        assert_true((size_t)(end - at) + 1 < sizeof text);
        memcpy(text, at, (size_t)(end - at) + 1);
        files_write(files, name, text);
        at = end;
    }
    return count;
}

static size_t count_fences(const char *page)
{
    size_t count = 0;
    for (const char *at = page; (at = strstr(at, "\n```yaml")) != NULL; at++) {
        count++;
    }
    return count;
}

static void count_material(void *context, const mw_material *material)
{
    size_t *count = context;
    (void)material;
    (*count)++;
}

/* Whether what a recipe names is there: materials, cautions, trades and machines. */
static void check_names(recipe_files *files, const mw_recipe *recipe, const mw_shop *shop)
{
    for (uint32_t i = 0; i < recipe->step_count; i++) {
        const mw_step_row *step = &recipe->steps[i];
        for (uint32_t k = 0; k < step->use_count; k++) {
            const mw_material *material;
            files_fine(files, mw_library_material(files->library, step->uses[k].material,
                                                  files_asked(files), &material, &files->diags));
        }
        for (uint32_t k = 0; k < step->cautions.count; k++) {
            const mw_caution *caution;
            files_fine(files, mw_library_caution(files->library, step->cautions.items[k],
                                                 files_asked(files), &caution, &files->diags));
            assert_non_null(caution);
        }
        assert_true(mw_same_name(step->trade, shop->trades[0].name));
    }
}

static void examples_load(void **state)
{
    (void)state;
    recipe_files files;
    files_start(&files);
    char *page = read_page();
    assert_int_equal(write_examples(&files, page), 5);
    assert_int_equal(count_fences(page), 5);
    mw_memory_give(page);
    files_search(&files, "");
    const mw_shop *shop;
    const mw_recipe *panel;
    const mw_recipe *light;
    size_t materials = 0;
    files_fine(&files, files_shop(&files, "saltmarsh", &shop));
    files_fine(&files, files_recipe(&files, "flat panel", &panel));
    files_fine(&files, files_recipe(&files, "flat panel light", &light));
    files_fine(&files,
               mw_library_materials(files.library, count_material, &materials, &files.diags));
    assert_int_equal(materials, 3);
    check_names(&files, panel, shop);
    check_names(&files, light, shop);
    assert_ptr_equal(light->builds_on, panel);
    assert_int_equal(light->step_count, 3);
    assert_true(mw_str_is(light->steps[1].name, "trim"));
    assert_int_equal(shop->line_count, 6);
    files_end(&files);
}

/* The row `| NAME | ... ` of a table below a heading stands there exactly so. */
static void check_row(const char *page, const char *heading, const char *row)
{
    const char *section = strstr(page, heading);
    assert_non_null(section);
    const char *end = strstr(section + 1, "\n#");
    const char *found = strstr(section, row);
    if (found == NULL || (end != NULL && found > end)) {
        fail_msg("missing below %s: %s", heading + 1, row);
    }
}

/* Counts the rows of the only table below a heading, its head and rule left out. */
static size_t count_rows(const char *page, const char *heading)
{
    const char *at = strstr(page, heading);
    assert_non_null(at);
    at = strstr(at, "\n|---");
    assert_non_null(at);
    size_t count = 0;
    for (at = strchr(at + 1, '\n'); at != NULL && at[1] == '|'; at = strchr(at + 1, '\n')) {
        count++;
    }
    return count;
}

static void standard_table(void **state)
{
    (void)state;
    static const char heading[] = "\n### Standard quantities\n";
    char *page = read_page();
    size_t count = 0;
    for (const mw_standard_row *row = mw_standard_rows(); row->name != NULL; row++, count++) {
        char line[300];
        snprintf(line, sizeof line, "\n| %s | %s |%s%s | %s%s |\n", row->name, row->unit,
                 row->usual == NULL ? "" : " ", row->usual == NULL ? "" : row->usual, row->about,
                 row->summed ? "; summed" : "");
        check_row(page, heading, line);
        assert_ptr_equal(mw_standard_find(mw_str_of(row->name)), row);
    }
    assert_int_equal(count_rows(page, heading), count);
    assert_null(mw_standard_find(mw_str_of("hour")));
    mw_memory_give(page);
}

static void figure_table(void **state)
{
    (void)state;
    char *page = read_page();
    size_t count = 0;
    for (const mw_figure_kind *row = mw_figure_kinds(); row->name != NULL; row++, count++) {
        char line[300];
        snprintf(line, sizeof line, "\n| %s | %s | %s |\n", row->name, row->unit, row->about);
        check_row(page, "\nThese figures have a fixed kind.", line);
    }
    assert_int_equal(count_rows(page, "\nThese figures have a fixed kind."), count);
    mw_memory_give(page);
}

int main(void)
{
    test_list list = {0};
    test_add(&list, examples_load);
    test_add(&list, standard_table);
    test_add(&list, figure_table);
    return test_run(&list, "recipe: docs/recipe-files.md");
}
