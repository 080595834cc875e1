/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pictures of risk: what is drawn says what was sampled, stays inside the picture, and is written as SVG and PNG. */
#include "job_bench.h"

#include <math.h>
#include <stdlib.h>
#include <unistd.h>

#include "mouldwright/report.h"

static mw_risk_picture picture_of(job_bench *bench, const char *lines, const char *ask)
{
    static const mw_style style = {.width = 80, .plain = true};
    mw_risk_picture picture;
    mw_text out = {0};
    bench_start(bench, NULL);
    bench_say_all(bench, lines);
    uint32_t source =
        mw_sources_add(mw_job_sources(bench->job), mw_str_of("<test>"), mw_str_of(ask));
    mw_span at = {source, 0, (uint32_t)strlen(ask)};
    mw_request request = {mw_str_of("risk"), mw_str_of(ask), at, &style};
    assert_int_equal(mw_report_risk(bench->job, &request, &picture, &out, &bench->diags), MW_OK);
    mw_text_free(&out);
    return picture;
}

static const mw_paper_shape *shape_of(const mw_paper_item *of, mw_shape_kind kind, uint32_t number)
{
    for (uint32_t i = 0; i < of->shape_count; i++) {
        if (of->shapes[i].kind == kind && number-- == 0) {
            return &of->shapes[i];
        }
    }
    return NULL;
}

static void is_inside(const mw_paper_item *of)
{
    double height = of->head_height + of->row_count * of->row_height;
    for (uint32_t i = 0; i < of->shape_count; i++) {
        const mw_paper_shape *shape = &of->shapes[i];
        assert_true(shape->x >= 0.0 && shape->x + shape->w <= MW_PAPER_CHART_WIDTH);
        assert_true(shape->y >= 0.0 && shape->y + shape->h <= height);
        for (uint32_t p = 0; p < shape->point_count; p++) {
            assert_true(shape->points[2 * p] >= 0.0 &&
                        shape->points[2 * p] <= MW_PAPER_CHART_WIDTH);
            assert_true(shape->points[2 * p + 1] >= 0.0 && shape->points[2 * p + 1] <= height);
        }
    }
}

/* Of a uniform value, all bars are as high as each other and the curve is a straight line: the distribution function of
 * a uniform value is x itself. */
static void odds(void **state)
{
    (void)state;
    job_bench bench;
    mw_risk_picture picture =
        picture_of(&bench, "x = uniform(0, 16)", "of x, samples 16384, chart \"odds.svg\"");
    assert_non_null(picture.paper);
    assert_true(mw_str_is(picture.file, "odds.svg"));
    assert_int_equal(picture.paper->item_count, 1);
    const mw_paper_item *of = &picture.paper->items[0];
    is_inside(of);
    const mw_paper_shape *first = shape_of(of, MW_SHAPE_BOX, 0);
    for (uint32_t i = 0; i < 16; i++) {
        const mw_paper_shape *bar = shape_of(of, MW_SHAPE_BOX, i);
        assert_non_null(bar);
        assert_close(bar->h, first->h,
                     0.5); /* of some 134 points; the ends are those of the samples */
        assert_close(bar->w, first->w, 0.01);
    }
    const mw_paper_shape *curve = shape_of(of, MW_SHAPE_PATH, 0);
    assert_non_null(curve);
    const uint32_t last = curve->point_count - 1;
    const double width = curve->points[2 * last] - curve->points[0];
    const double height = curve->points[1] - curve->points[2 * last + 1];
    assert_true(width > 100.0 && height > 50.0);
    for (uint32_t p = 0; p <= last; p++) {
        double share = (curve->points[2 * p] - curve->points[0]) / width;
        double risen = (curve->points[1] - curve->points[2 * p + 1]) / height;
        assert_close(risen, share, 0.002);
    }
    mw_paper_free(picture.paper);
    bench_end(&bench);
}

/* 10 a + b, both from 0 to 1: the swing of `a` is ten times that of `b`, and stands above it. */
static void tornado(void **state)
{
    (void)state;
    job_bench bench;
    mw_risk_picture picture =
        picture_of(&bench, "b = uniform(0, 1)\na = uniform(0, 1)\nx = 10 * a + b",
                   "of x, drives, samples 256, chart \"drives.png\"");
    assert_non_null(picture.paper);
    const mw_paper_item *of = &picture.paper->items[0];
    assert_int_equal(of->row_count, 2);
    is_inside(of);
    double widths[2] = {0};
    for (uint32_t i = 0; i < 4; i++) {
        const mw_paper_shape *bar = shape_of(of, MW_SHAPE_BOX, i);
        assert_non_null(bar);
        widths[bar->row - 1] += bar->w;
    }
    assert_close(widths[0], 10.0 * widths[1], 1e-9);
    mw_paper_free(picture.paper);
    bench_end(&bench);
}

static void none_asked(void **state)
{
    (void)state;
    job_bench bench;
    mw_risk_picture picture = picture_of(&bench, "x = uniform(0, 16)", "of x, samples 64, chart");
    assert_null(picture.paper);
    bench_end(&bench);
}

/* One value only, and one that is the same in every sample: nothing is divided by nothing. */
static void flat(void **state)
{
    (void)state;
    job_bench bench;
    mw_risk_picture picture =
        picture_of(&bench, "x = 0 .. 1 .. 2\ny = x - x", "of y x, samples 64, chart \"y.svg\"");
    assert_non_null(picture.paper);
    for (uint32_t i = 0; i < picture.paper->item_count; i++) {
        is_inside(&picture.paper->items[i]);
    }
    mw_text out = {0};
    assert_int_equal(mw_paper_svg(picture.paper, &out), MW_OK);
    assert_null(strstr(mw_text_chars(&out), "nan"));
    assert_null(strstr(mw_text_chars(&out), "inf"));
    assert_memory_equal(mw_text_chars(&out), "<svg xmlns=\"http://www.w3.org/2000/svg\"", 39);
    assert_non_null(strstr(mw_text_chars(&out), "</svg>\n"));
    mw_text_free(&out);
    mw_paper_free(picture.paper);
    bench_end(&bench);
}

static uint32_t big_endian(const char *at)
{
    uint32_t value = 0;
    for (int i = 0; i < 4; i++) {
        value = value << 8 | (unsigned char)at[i];
    }
    return value;
}

/* The signature and the size in the first chunk. Source: ISO/IEC 15948, Portable Network Graphics, 5.2 and 11.2.2. */
static void png(void **state)
{
    (void)state;
    job_bench bench;
    char path[4096];
    const ssize_t length = readlink("/proc/self/exe", path, sizeof path - 1);
    assert_true(length > 0 && (size_t)length < sizeof path - 32);
    path[length] = '\0';
    *strrchr(path, '/') = '\0';
    strcpy(strrchr(path, '/'), "/mouldwright-pdf.so");
    const char *const modules[] = {path};
    mw_risk_picture picture =
        picture_of(&bench, "x = uniform(0, 16)", "of x, samples 64, chart \"x.png\"");
    mw_text out = {0};
    mw_text why = {0};
    assert_int_equal(mw_paper_png(picture.paper, modules, 1, &out, &why), MW_PDF_WRITTEN);
    assert_true(out.length > 1000);
    assert_memory_equal(mw_text_chars(&out), "\x89PNG\r\n\x1a\n", 8);
    assert_int_equal(big_endian(out.data + 16),
                     2 * (int)(MW_PAPER_CHART_WIDTH + 2.0 * MW_PAPER_PICTURE_EDGE));
    assert_int_equal(big_endian(out.data + 20), 2 * (int)mw_paper_picture_height(picture.paper));
    mw_text_free(&out);
    mw_text_clear(&why);
    static const char *const nowhere[] = {"/nonexistent/mouldwright-pdf.so"};
    assert_int_equal(mw_paper_png(picture.paper, nowhere, 1, &out, &why), MW_PDF_NO_MODULE);
    mw_text_free(&why);
    mw_paper_free(picture.paper);
    bench_end(&bench);
}

int main(void)
{
    test_list list = {0};
    test_add(&list, odds);
    test_add(&list, tornado);
    test_add(&list, none_asked);
    test_add(&list, flat);
    test_add(&list, png);
    return test_run(&list, "report: pictures of risk");
}
