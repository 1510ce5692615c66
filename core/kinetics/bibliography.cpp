#include "core/kinetics/bibliography.hpp"

#include <array>

namespace wheymark {
namespace {

constexpr std::array citations{
    Citation{"boonmee2003",
             "M. Boonmee, N. Leksawasdi, W. Bridge, P. L. Rogers: Batch and continuous culture of "
             "Lactococcus lactis NZ133: experimental data and model development. Biochemical "
             "Engineering Journal 14 (2003) 127-135. Abstract read."},
    Citation{"cengel2007",
             "Y. A. Cengel: Heat and Mass Transfer: A Practical Approach, 3rd ed., McGraw-Hill "
             "2007. The solution of the warming of milk read; properties and the simplified "
             "relation for free convection from memory."},
    Citation{"cfr114",
             "United States Code of Federal Regulations, title 21, part 114, Acidified foods, "
             "114.3. Text read; it leaves out refrigerated foods."},
    Citation{"chandan2011",
             "A handbook of dairy ingredients, pages 291 and 444 (cottage cheese; cultured "
             "buttermilk). Pages read; believed to be R. C. Chandan, A. Kilara: Dairy Ingredients "
             "for Food Processing, Wiley 2011."},
    Citation{"chen2005",
             "M.-J. Chen, J.-R. Liu, C.-W. Lin, Y.-T. Yeh: Study of the microbial and chemical "
             "properties of goat milk kefir produced by inoculation with Taiwanese kefir grains. "
             "Asian-Australasian Journal of Animal Sciences 18 (2005) 711-715. Abstract read."},
    Citation{"codex243",
             "Codex Alimentarius: Standard for Fermented Milks, CXS 243-2003. Read in part; the "
             "kefir figures from memory."},
    Citation{"dinc2008",
             "A. Dinc: microbiological and chemical properties of kefir. Thesis, Ankara University "
             "2008. The traditional method read at second hand, quoted in another thesis."},
    Citation{"durgan2017",
             "A kitchen's notes on kefir, 19 and 23 December 2017, forums.botanicalgarden.ubc.ca. "
             "Read."},
    Citation{"ejfst2020",
             "The effect of storage time on kefir at 4 degC over 7 days. Eurasian Journal of Food "
             "Science and Technology 4 (2020), number 2. Abstract read, title and authors not."},
    Citation{"emmons1967",
             "D. B. Emmons, S. L. Tuckey: Cottage cheese and other cultured milk products, 1967, "
             "short set, as given in the e-book of the University of Guelph. Page read."},
    Citation{"encyclopedia1999",
             "An encyclopedia of food science on fermented dairy products (cultured buttermilk, "
             "sour cream, kefir). Page read in a copy; title and year from memory: Wiley "
             "Encyclopedia of Food Science and Technology, 2nd ed. 1999."},
    Citation{"fao2013",
             "FAO: Milk and Dairy Products in Human Nutrition, Rome 2013, table 3.1. Table read."},
    Citation{"foodcode2022", "United States Public Health Service, FDA: Food Code 2022, 3-501.16."},
    Citation{"fox1998",
             "P. F. Fox, P. L. H. McSweeney: Dairy Chemistry and Biochemistry, Blackie 1998, "
             "chapter 5, Salts of milk. Dissociation constants and table 5.6 read."},
    Citation{"fsn2017",
             "Yoghurts from different combinations of starter cultures in storage at 4 degC. Food "
             "Science and Nutrition 5 (2017) 525-537, table 2. Table read."},
    Citation{
        "garciafontan2006",
        "M. C. Garcia Fontan, S. Martinez, I. Franco, J. Carballo: Microbiological and chemical "
        "changes during the manufacture of kefir made from cows' milk, using a commercial starter "
        "culture. International Dairy Journal 16 (2006) 762-767. Abstract read."},
    Citation{"ghimire2022",
             "A. Ghimire, N. Raya: Kinetics of lactic acid fermentation during dahi preparation. "
             "Tribhuvan University Journal of Food Science and Technology, article 49932; the year "
             "is our guess. Abstract read."},
    Citation{"gorsek2010",
             "A. Gorsek, K. Zajsek: Influence of temperature variations on ethanol production by "
             "kefir grains: mathematical model development. 2010, also Biochemical Engineering "
             "Journal 2010. Abstract read."},
    Citation{"gronnevik2011",
             "H. Gronnevik, M. Falstad, J. A. Narvhus: Microbiological and chemical properties of "
             "Norwegian kefir during storage. International Dairy Journal 21 (2011) 601-606. "
             "Abstract read."},
    Citation{"guzelseydim2000",
             "Z. Guzel-Seydim, A. C. Seydim, A. K. Greene, A. B. Bodine: Determination of organic "
             "acids and volatile flavor substances in kefir during fermentation. Journal of Food "
             "Composition and Analysis 13 (2000) 35-43. Abstract read."},
    Citation{
        "hutkins2006",
        "A textbook's page on the making of kefir, believed to be R. W. Hutkins: Microbiology and "
        "Technology of Fermented Foods, 2006. Page read in a copy."},
    Citation{"iasri2012",
             "Practical on the preparation of dahi, e-course of the Indian Agricultural Statistics "
             "Research Institute, 2012. Page read."},
    Citation{"ijm2020",
             "Chemical, Microbiological, and Functional Characterization of Kefir Produced from "
             "Cow's Milk and Soy Milk. International Journal of Microbiology 2020, 7019286, tables "
             "1 and 4. Tables read."},
    Citation{
        "ijvm82779",
        "Changes in acidity parameters and probiotic survival of the kefir using Lactobacillus "
        "acidophilus and Lactobacillus paracasei complementary probiotics during cold "
        "preservation. Iranian Journal of Veterinary Medicine, article 82779. Abstract read."},
    Citation{"incropera2007",
             "F. P. Incropera, D. P. DeWitt, T. L. Bergman, A. S. Lavine: Fundamentals of Heat and "
             "Mass Transfer, 6th ed., Wiley 2007, examples 5.1 and chapter 9. From memory."},
    Citation{"itjfs1803",
             "Cow and goat kefirs over 35 days at 4 degC. Italian Journal of Food Science, article "
             "1803. Abstract read."},
    Citation{"kim2016",
             "Antimicrobial activity of four kefirs. Korean Journal for Food Science of Animal "
             "Resources 36 (2016) 787-790, table 1. Table read."},
    Citation{"koktas2013",
             "T. Kok-Tas, A. C. Seydim, B. Ozer, Z. B. Guzel-Seydim: Effects of different "
             "fermentation parameters on quality characteristics of kefir. Journal of Dairy "
             "Science 96 (2013) 780-789. Two figures read at second hand."},
    Citation{"leonardi2012",
             "R. Leonardi, S. H. Prudencio, M. P. Ferreira: physicochemical characteristics and "
             "acceptance of kefir of whole and of skim milk. Monograph, UniFIL, Londrina 2012. "
             "Abstract read."},
    Citation{"lucey1993",
             "J. A. Lucey and others: Acid-base buffering properties of heated milk. "
             "Milchwissenschaft 48 (1993) 438-441. Abstract read."},
    Citation{"luedeking1959",
             "R. Luedeking, E. L. Piret: A kinetic study of the lactic acid fermentation. Journal "
             "of Biochemical and Microbiological Technology and Engineering 1 (1959) 393-412. From "
             "memory."},
    Citation{
        "magalhaes2011",
        "K. T. Magalhaes and others: production of milk and whey kefirs by grains. Food Chemistry "
        "126 (2011). A passage read, quoted elsewhere; year and journal from memory."},
    Citation{"mahmood2010",
             "A. Mahmood, S. Usman: A comparative study on the physicochemical parameters of milk "
             "samples collected from buffalo, cow, goat and sheep of Gujrat, Pakistan. Pakistan "
             "Journal of Nutrition 9 (2010) 1192-1197. Figures read."},
    Citation{"medvedova2019",
             "A. Medvedova and others: growth of a mesophilic mixed starter in milk, described by "
             "the cardinal temperature model. Fermentation 5 (2019) 2. Abstract read."},
    Citation{"mistry1985",
             "V. V. Mistry, F. V. Kosikowski: Fermentation of ultrafiltered skim milk retentates "
             "with mesophilic lactic cheese starters. Journal of Dairy Science 68 (1985) "
             "1613-1617. Abstract read."},
    Citation{"mitchell1995",
             "A. R. Hill (ed.): Cheese Making Technology e-Book, University of Guelph, figure 3.1, "
             "culture activity test, after M. Mitchell, Ontario Ministry of Agriculture 1995. "
             "Figure read."},
    Citation{"purnomo2012",
             "H. Purnomo, L. D. Muslimin: Chemical characteristics of pasteurised goat milk and "
             "goat milk kefir prepared using different amount of Indonesian kefir grains and "
             "incubation times. International Food Research Journal 19 (2012) 791-794. Abstract "
             "read; volume and year from memory."},
    Citation{
        "putri2020",
        "Y. D. Putri, N. A. Setiani, S. Warya: the effect of temperature, incubation and storage "
        "time on lactic acid content, pH and viscosity of goat milk kefir. Current Research on "
        "Biosciences and Biotechnology, article 38; the year is our guess. Abstract read; a "
        "factor of two in it, so no figure is used."},
    Citation{"rosso1993",
             "L. Rosso, J. R. Lobry, S. Bajard, J. P. Flandrois: An unexpected correlation between "
             "cardinal temperatures of microbial growth highlighted by a new model. Journal of "
             "Theoretical Biology 162 (1993) 447-463. From memory."},
    Citation{"salvado2011",
             "Z. Salvado, F. N. Arroyo-Lopez, J. M. Guillamon, G. Salazar, A. Querol, E. Barrio: "
             "Temperature adaptation markedly determines evolution within the genus Saccharomyces. "
             "Applied and Environmental Microbiology 77 (2011) 2292-2302. Abstract read."},
    Citation{"sander2023",
             "R. Sander: Compilation of Henry's law constants (version 5.0.0) for water as "
             "solvent. Atmospheric Chemistry and Physics 23 (2023) 10901-12440."},
    Citation{"setyawardani2015",
             "T. Setyawardani, J. Sumarmono: Chemical and microbiological characteristics of goat "
             "milk kefir during storage under different temperatures. 2015. Abstract read."},
    Citation{
        "sulmiyati2019",
        "Sulmiyati, N. S. Said, D. U. Fahrodi, R. Malaka, F. Maruddin: the physicochemical, "
        "microbiology, and sensory characteristics of kefir goat milk with different levels of "
        "kefir grain. Tropical Animal Science Journal, article 24814; the year is our guess. "
        "Abstract read."},
    Citation{"tomasula1999",
             "P. M. Tomasula and others: Buffer properties of milk treated with high pressure "
             "carbon dioxide. Milchwissenschaft 54 (1999) 667-670. Abstract read."},
    Citation{"usda2016",
             "United States Department of Agriculture: keep clear of the danger zone, guidance of "
             "May 2016. Text read: two hours between 40 and 140 degF, one hour above 90 degF."},
    Citation{
        "uslu2010",
        "G. Uslu: microbiological, physical, chemical and sensory properties of kefirs sold in "
        "Ankara. Thesis, Ankara University 2010. Abstract read."},
    Citation{"walstra2006",
             "P. Walstra, J. T. M. Wouters, T. J. Geurts: Dairy Science and Technology, 2nd ed., "
             "CRC Press 2006. From memory."},
    Citation{"yildiz2017",
             "Kefir grain biomass production: influence of different culturing conditions and "
             "examination of growth kinetic models. Journal of Food Process Engineering 40 (2017). "
             "Abstract read."},
    Citation{"yoo2013",
             "S.-H. Yoo, K.-S. Seong, S.-S. Yoon: Physicochemical properties of kefir manufactured "
             "by a two-step fermentation. Food Science of Animal Resources 33 (2013) 744-751. "
             "Abstract read."},
};

}  // namespace

std::span<const Citation> bibliography() {
  return citations;
}

}  // namespace wheymark
