// Door of stitch/: the plan, its builder, measures, limits and file.
#pragma once

#include "stitch/builder.h"
#include "stitch/crowds.h"
#include "stitch/limits.h"
#include "stitch/measures.h"
#include "stitch/plan.h"
#include "stitch/plan_file.h"
#include "stitch/within.h"
