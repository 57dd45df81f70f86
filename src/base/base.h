// Door of base/: errors, units, random numbers, parallel loops, progress, files, tables.
#pragma once

#include "base/error.h"
#include "base/files.h"
#include "base/lanes.h"
#include "base/nearest.h"
#include "base/parallel.h"
#include "base/progress.h"
#include "base/random.h"
#include "base/table.h"
#include "base/text.h"
#include "base/units.h"
