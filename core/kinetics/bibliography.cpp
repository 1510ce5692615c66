#include "core/kinetics/bibliography.hpp"

#include <array>

namespace wheymark {
namespace {

constexpr std::array citations{
    Citation{"boonmee2003",
             "M. Boonmee, N. Leksawasdi, W. Bridge, P. L. Rogers: Batch and continuous culture of "
             "Lactococcus lactis NZ133: experimental data and model development. Biochemical "
             "Engineering Journal 14 (2003) 127-135. Abstract read."},
    Citation{
        "cengel2007",
        "Y. A. Cengel: Heat and Mass Transfer: A Practical Approach, 3rd ed., McGraw-Hill 2007. "
        "The solution of the warming of milk read; properties and the simplified relation for "
        "free convection from memory."},
    Citation{"chen2005",
             "M.-J. Chen, J.-R. Liu, C.-W. Lin, Y.-T. Yeh: Study of the microbial and chemical "
             "properties of goat milk kefir produced by inoculation with Taiwanese kefir grains. "
             "Asian-Australasian Journal of Animal Sciences 18 (2005) 711-715. Abstract read."},
    Citation{"codex243",
             "Codex Alimentarius: Standard for Fermented Milks, CXS 243-2003. Read in part; the "
             "kefir figures from memory."},
    Citation{"fao2013",
             "FAO: Milk and Dairy Products in Human Nutrition, Rome 2013, table 3.1. Table read."},
    Citation{"foodcode2022", "United States Public Health Service, FDA: Food Code 2022, 3-501.16."},
    Citation{
        "fox1998",
        "P. F. Fox, P. L. H. McSweeney: Dairy Chemistry and Biochemistry, Blackie 1998, chapter "
        "5, Salts of milk. Dissociation constants and table 5.6 read."},
    Citation{
        "garciafontan2006",
        "M. C. Garcia Fontan, S. Martinez, I. Franco, J. Carballo: Microbiological and chemical "
        "changes during the manufacture of kefir made from cows' milk, using a commercial "
        "starter culture. International Dairy Journal 16 (2006) 762-767. Abstract read."},
    Citation{"guzelseydim2000",
             "Z. Guzel-Seydim, A. C. Seydim, A. K. Greene, A. B. Bodine: Determination of organic "
             "acids and volatile flavor substances in kefir during fermentation. Journal of Food "
             "Composition and Analysis 13 (2000) 35-43. Abstract read."},
    Citation{
        "ijm2020",
        "Chemical, Microbiological, and Functional Characterization of Kefir Produced from Cow's "
        "Milk and Soy Milk. International Journal of Microbiology 2020, 7019286, tables 1 and 4. "
        "Tables read."},
    Citation{
        "luedeking1959",
        "R. Luedeking, E. L. Piret: A kinetic study of the lactic acid fermentation. Journal of "
        "Biochemical and Microbiological Technology and Engineering 1 (1959) 393-412. From "
        "memory."},
    Citation{"mahmood2010",
             "A. Mahmood, S. Usman: A comparative study on the physicochemical parameters of milk "
             "samples collected from buffalo, cow, goat and sheep of Gujrat, Pakistan. Pakistan "
             "Journal of Nutrition 9 (2010) 1192-1197. Figures read."},
    Citation{
        "medvedova2019",
        "A. Medvedova and others: growth of a mesophilic mixed starter in milk, described by the "
        "cardinal temperature model. Fermentation 5 (2019) 2. Abstract read."},
    Citation{"rosso1993",
             "L. Rosso, J. R. Lobry, J. P. Flandrois: An unexpected correlation between cardinal "
             "temperatures of microbial growth highlighted by a new model. Journal of Theoretical "
             "Biology 162 (1993) 447-463. From memory."},
    Citation{"salvado2011",
             "Z. Salvado, F. N. Arroyo-Lopez, J. M. Guillamon, G. Salazar, A. Querol, E. Barrio: "
             "Temperature adaptation markedly determines evolution within the genus Saccharomyces. "
             "Applied and Environmental Microbiology 77 (2011) 2292-2302. Abstract read."},
    Citation{
        "sander2023",
        "R. Sander: Compilation of Henry's law constants (version 5.0.0) for water as solvent. "
        "Atmospheric Chemistry and Physics 23 (2023) 10901-12440."},
    Citation{
        "tomasula1999",
        "P. M. Tomasula and others: Buffer properties of milk treated with high pressure carbon "
        "dioxide. Milchwissenschaft 54 (1999) 667-670. Abstract read."},
    Citation{
        "walstra2006",
        "P. Walstra, J. T. M. Wouters, T. J. Geurts: Dairy Science and Technology, 2nd ed., CRC "
        "Press 2006. From memory."},
};

}  // namespace

std::span<const Citation> bibliography() {
  return citations;
}

}  // namespace wheymark
